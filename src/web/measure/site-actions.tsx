import { useState, type ComponentType } from "react";
import type { RunCommandName, RunView } from "#contract";
import { Dialog } from "../face/dialog.tsx";
import parts from "../face/parts.module.css";
import { AddPoint, Break, RecordCheck, ReplaceKit, SkipCheck, SwapPoints, type Asked } from "./site-action-form.tsx";
import css from "./site-actions.module.css";

interface Action {
  readonly command: RunCommandName;
  readonly title: string;
  readonly what: string;
  readonly Form: ComponentType<{ view: RunView; send: (asked: Asked) => void; back: () => void }>;
}

const actions: readonly Action[] = [
  {
    command: "record-check",
    title: "Record the check thermometer",
    what: "Both are steady: type what it shows.",
    Form: RecordCheck,
  },
  {
    command: "add-point",
    title: "Add a point",
    what: "One more temperature, within the limits of kit and item.",
    Form: AddPoint,
  },
  {
    command: "swap-points",
    title: "Change the order",
    what: "Two points still to come change places.",
    Form: SwapPoints,
  },
  { command: "break", title: "Take a break", what: "The source holds for a limited time, or cools.", Form: Break },
  {
    command: "replace-kit",
    title: "Replace kit",
    what: "Another reference, readout or source from here on; both stand on the certificate.",
    Form: ReplaceKit,
  },
  {
    command: "skip-check",
    title: "Go on without the check",
    what: "The closing check is left out, or stands as it failed.",
    Form: SkipCheck,
  },
];

/** What a day on site brings beside the usual: a list to choose from, then what each needs to know. */
export const SiteActions = ({
  view,
  first,
  close,
  send,
}: {
  view: RunView;
  /** Opened at once, without the list. */
  first: RunCommandName | null;
  close: () => void;
  send: (asked: Asked) => void;
}) => {
  const [chosen, setChosen] = useState<RunCommandName | null>(first);
  const action = actions.find(({ command }) => command === chosen && view.commands.includes(command));
  const back = first === null ? () => setChosen(null) : close;
  return (
    <Dialog opened close={close} title={action?.title ?? "On site"}>
      {action === undefined ? (
        <div className={css.list}>
          {actions
            .filter(({ command }) => view.commands.includes(command))
            .map(({ command, title, what }) => (
              <button key={command} type="button" className={parts.button} onClick={() => setChosen(command)}>
                <strong>{title}</strong>
                <span className={parts.note}>{what}</span>
              </button>
            ))}
        </div>
      ) : (
        <action.Form view={view} send={send} back={back} />
      )}
    </Dialog>
  );
};
