import { Textarea } from "@mantine/core";
import { useHotkeys } from "@mantine/hooks";
import {
  IconArrowBackUp,
  IconCheck,
  IconDots,
  IconNote,
  IconPlayerPause,
  IconPlayerPlay,
  IconPlayerSkipForward,
  IconTool,
} from "@tabler/icons-react";
import { useMutation } from "@tanstack/react-query";
import { lazy, Suspense, useState, type ReactNode } from "react";
import type { RunCommand, RunCommandName, RunView } from "#contract";
import { Dialog } from "../face/dialog.tsx";
import parts from "../face/parts.module.css";
import { nominal } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import { client, wordsOf } from "../station.ts";
import css from "./measure-stage.module.css";
import { StopControl } from "./stop-control.tsx";

const SiteActions = lazy(async () => ({ default: (await import("./site-actions.tsx")).SiteActions }));

/** Asked in a sheet of their own, because each needs to know more than a reason. */
const onSite: readonly RunCommandName[] = [
  "record-check",
  "add-point",
  "swap-points",
  "break",
  "replace-kit",
  "skip-check",
];

type Asked = "repeat-point" | "skip-point" | "stop" | "add-note";

const asks: Record<Asked, { title: string; what: string; label: string; act: string; ready: readonly string[] }> = {
  "repeat-point": {
    title: "Repeat a point",
    what: "It is approached and measured again; what was read before stays in the log.",
    label: "Why",
    act: "Repeat it",
    ready: ["a probe was moved", "the reading looked wrong", "asked for by the customer"],
  },
  "skip-point": {
    title: "Skip this point",
    what: "It is left unmeasured and the certificate says so, with your reason.",
    label: "Why",
    act: "Skip it",
    ready: ["outside what the item is used for", "no time left on site", "the source does not reach it"],
  },
  stop: {
    title: "Stop the run",
    what: "The heat was taken away when you pressed stop, and the run is paused. Shall it end? What is measured stays; a stopped run is not taken up again. Leave it, and it can go on later.",
    label: "Why, if there is time to say",
    act: "Stop the run",
    ready: ["the item is faulty", "called away", "not safe to go on"],
  },
  "add-note": {
    title: "Add a note",
    what: "It stands in the run's log with the time and your name.",
    label: "Note",
    act: "Add it",
    ready: [],
  },
};

const Ask = ({
  asked,
  close,
  send,
  where,
}: {
  asked: Asked;
  close: () => void;
  send: (words: string) => void;
  where: string;
}) => {
  const [words, setWords] = useState("");
  const ask = asks[asked];
  // Stopping must never wait for words: whoever has a reason gives it, nobody has to.
  const due = asked !== "stop";
  return (
    <Dialog opened close={close} title={ask.title}>
      <form
        style={{ display: "grid", gap: "var(--step-4)" }}
        onSubmit={(event) => {
          event.preventDefault();
          if (!due || words.trim() !== "") send(words.trim());
        }}
      >
        <p>
          {where !== "" && asked !== "add-note" && asked !== "stop" && <strong>{where}. </strong>}
          {ask.what}
        </p>
        {ask.ready.length > 0 && (
          <div style={{ display: "grid", gap: "var(--step-2)" }}>
            {ask.ready.map((reason) => (
              <button
                key={reason}
                type="button"
                className={parts.button}
                style={{ justifyContent: "flex-start", borderWidth: 1 }}
                aria-pressed={words === reason}
                onClick={() => setWords(reason)}
              >
                {reason}
              </button>
            ))}
          </div>
        )}
        <Textarea
          label={ask.label}
          value={words}
          onChange={(event) => setWords(event.currentTarget.value)}
          minRows={2}
          autosize
          maxLength={500}
          data-autofocus
        />
        <div style={{ display: "flex", justifyContent: "flex-end", gap: "var(--step-3)" }}>
          <button type="button" className={parts.button} onClick={close}>
            Leave it
          </button>
          <button
            type="submit"
            className={`${parts.button} ${asked === "stop" ? parts.danger : parts.main}`}
            disabled={due && words.trim() === ""}
          >
            {ask.act}
          </button>
        </div>
      </form>
    </Dialog>
  );
};

interface Control {
  readonly command: RunCommandName;
  readonly word: string;
  readonly key: string;
  readonly icon: ReactNode;
  readonly style: string | undefined;
}

const always: readonly Control[] = [
  {
    command: "start",
    word: "Start",
    key: "p",
    icon: <IconPlayerPlay size={22} aria-hidden="true" />,
    style: parts.main,
  },
  {
    command: "pause",
    word: "Pause",
    key: "p",
    icon: <IconPlayerPause size={22} aria-hidden="true" />,
    style: undefined,
  },
  {
    command: "resume",
    word: "Go on",
    key: "p",
    icon: <IconPlayerPlay size={22} aria-hidden="true" />,
    style: parts.main,
  },
  {
    command: "confirm-adjustment",
    word: "Adjustment is done",
    key: "p",
    icon: <IconTool size={22} aria-hidden="true" />,
    style: parts.main,
  },
  {
    command: "confirm-check",
    word: "It is in place",
    key: "p",
    icon: <IconCheck size={22} aria-hidden="true" />,
    style: parts.main,
  },
  {
    command: "record-check",
    word: "Type its reading",
    key: "p",
    icon: <IconCheck size={22} aria-hidden="true" />,
    style: parts.main,
  },
  {
    command: "repeat-point",
    word: "Repeat",
    key: "r",
    icon: <IconArrowBackUp size={22} aria-hidden="true" />,
    style: undefined,
  },
  {
    command: "skip-point",
    word: "Skip",
    key: "k",
    icon: <IconPlayerSkipForward size={22} aria-hidden="true" />,
    style: undefined,
  },
  { command: "add-note", word: "Note", key: "n", icon: <IconNote size={22} aria-hidden="true" />, style: undefined },
];

const isAsked = (command: RunCommandName): command is Asked => Object.hasOwn(asks, command);

/** What may be asked of the run now. Stop is always there; what cannot be done now is not shown. */
export const Controls = ({
  view,
  by,
  repeat,
  status,
}: {
  view: RunView;
  by: string;
  repeat: { pass: "as-found" | "as-left"; point: number; temperature: number } | null;
  status: ReactNode;
}) => {
  const [asked, setAsked] = useState<Asked | null>(null);
  const [sheet, setSheet] = useState<{ first: RunCommandName | null } | null>(null);
  const send = useMutation({ mutationFn: (command: RunCommand) => client.command(view.run, command) });
  const can = (command: RunCommandName): boolean => view.commands.includes(command);
  const ask = (command: RunCommandName): void => {
    if (!can(command)) return;
    if (isAsked(command)) setAsked(command);
    else if (onSite.includes(command)) setSheet({ first: command });
    else send.mutate({ command, by });
  };
  const answer = (words: string): void => {
    if (asked === null) return;
    const extra = asked === "add-note" ? { text: words } : words === "" ? {} : { reason: words };
    const place = asked === "repeat-point" && repeat !== null ? { pass: repeat.pass, point: repeat.point } : {};
    send.mutate({ command: asked, by, ...extra, ...place });
    setAsked(null);
  };
  // While a check waits for a person, its key is that answer and not the pause.
  const goOn = always.findLast(({ command, key }) => key === "p" && can(command));
  useHotkeys([
    ["p", () => goOn !== undefined && ask(goOn.command)],
    ["r", () => ask("repeat-point")],
    ["k", () => ask("skip-point")],
    ["n", () => ask("add-note")],
    ["o", () => onSite.some(can) && setSheet({ first: null })],
  ]);
  const where =
    asked === "repeat-point" && repeat !== null
      ? `${passWords[repeat.pass]}, ${nominal(repeat.temperature)} °C`
      : view.setPoint === null
        ? ""
        : `${view.pass === null ? "" : `${passWords[view.pass]}, `}${nominal(view.setPoint)} °C`;
  return (
    <div className={css.controls} role="group" aria-label="Controls of the run">
      {always
        .filter(({ command }) => can(command))
        .map(({ command, word, key, icon, style }) => (
          <button
            key={command}
            type="button"
            className={`${parts.button} ${style ?? ""}`}
            disabled={send.isPending}
            onClick={() => ask(command)}
            aria-keyshortcuts={key}
          >
            {icon}
            {word} <kbd className={parts.key}>{key}</kbd>
          </button>
        ))}
      {onSite.some(can) && (
        <button
          type="button"
          className={parts.button}
          disabled={send.isPending}
          onClick={() => setSheet({ first: null })}
          aria-keyshortcuts="o"
        >
          <IconDots size={22} aria-hidden="true" />
          More <kbd className={parts.key}>o</kbd>
        </button>
      )}
      <div className={css.status}>
        {send.error === null ? (
          status
        ) : (
          <span role="alert" className={css.lost}>
            {wordsOf(send.error)}
          </span>
        )}
      </div>
      <StopControl view={view} by={by} stopped={() => setAsked("stop")} />
      {sheet !== null && (
        <Suspense fallback={null}>
          <SiteActions
            view={view}
            first={sheet.first}
            close={() => setSheet(null)}
            send={(command) => {
              send.mutate({ ...command, by });
              setSheet(null);
            }}
          />
        </Suspense>
      )}
      {asked !== null && <Ask asked={asked} close={() => setAsked(null)} send={answer} where={where} />}
    </div>
  );
};
