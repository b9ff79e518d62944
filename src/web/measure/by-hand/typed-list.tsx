import { Textarea } from "@mantine/core";
import { useState } from "react";
import type { HandView, RunView } from "#contract";
import { Dialog } from "../../face/dialog.tsx";
import parts from "../../face/parts.module.css";
import { onRunClock } from "../../figures/clock.ts";
import css from "./by-hand.module.css";

type Line = HandView["readings"][number];

const readyReasons = ["a slip of typing", "the wrong display was read", "a probe was touched"] as const;

const keyOf = ({ channel, time }: Line): string => `${channel} ${time}`;

const Withdraw = ({ line, close, send }: { line: Line; close: () => void; send: (reason: string) => void }) => {
  const [reason, setReason] = useState("");
  return (
    <Dialog opened close={close} title={`Withdraw ${line.typed} ${line.unit} of ${line.name}`}>
      <form
        className={css.form}
        onSubmit={(event) => {
          event.preventDefault();
          if (reason.trim() !== "") send(reason.trim());
        }}
      >
        <p>It stays in the log, crossed out with your reason, and counts for nothing.</p>
        <div className={css.reasons}>
          {readyReasons.map((each) => (
            <button
              key={each}
              type="button"
              className={parts.button}
              aria-pressed={reason === each}
              onClick={() => setReason(each)}
            >
              {each}
            </button>
          ))}
        </div>
        <Textarea
          label="Why"
          value={reason}
          onChange={(event) => setReason(event.currentTarget.value)}
          minRows={1}
          autosize
          maxLength={500}
        />
        <div className={css.ends}>
          <button type="button" className={parts.button} onClick={close}>
            Leave it
          </button>
          <button type="submit" className={`${parts.button} ${parts.danger}`} disabled={reason.trim() === ""}>
            Withdraw it
          </button>
        </div>
      </form>
    </Dialog>
  );
};

/** What was typed, the newest first: when, what, by whom, and what has become of it. */
export const TypedList = ({
  view,
  hand,
  withdraw,
}: {
  view: RunView;
  hand: HandView;
  withdraw: (line: Line, reason: string) => void;
}) => {
  const [chosen, setChosen] = useState<Line | null>(null);
  const can = view.commands.includes("withdraw-reading");
  return (
    <section className={css.list} aria-label="Typed readings">
      <h2>
        Typed readings{" "}
        {hand.taken > 0 && (
          <span className={parts.note}>
            {hand.taken} of {hand.wanted} at this point
          </span>
        )}
      </h2>
      {hand.readings.length === 0 && (
        <p className={parts.note}>None yet. They are listed here, and all stay in the log.</p>
      )}
      <ol>
        {hand.readings.map((line) => {
          const { text, utc } = onRunClock(view.opened, line.time);
          return (
            <li key={keyOf(line)} className={line.withdrawn === null ? undefined : css.gone}>
              <time title={utc}>{text}</time>
              <span className={css.what}>
                {line.name}{" "}
                <strong>
                  {line.withdrawn === null ? `${line.typed} ${line.unit}` : <del>{`${line.typed} ${line.unit}`}</del>}
                </strong>
                <span className={css.who}>
                  {line.by}
                  {line.confirmed && ", confirmed as read"}
                  {line.withdrawn !== null && `, withdrawn: ${line.withdrawn.reason}`}
                </span>
              </span>
              {can && line.withdrawn === null && (
                <button
                  type="button"
                  className={`${parts.button} ${css.withdraw}`}
                  onClick={() => setChosen(line)}
                  aria-label={`Withdraw ${line.typed} ${line.unit} of ${line.name} at ${text}`}
                >
                  Withdraw
                </button>
              )}
            </li>
          );
        })}
      </ol>
      {chosen !== null && (
        <Withdraw
          line={chosen}
          close={() => setChosen(null)}
          send={(reason) => {
            withdraw(chosen, reason);
            setChosen(null);
          }}
        />
      )}
    </section>
  );
};
