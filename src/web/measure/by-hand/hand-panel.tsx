import { useMutation } from "@tanstack/react-query";
import { useState, type ReactNode } from "react";
import type { HandView, RunCommand, RunView } from "#contract";
import parts from "../../face/parts.module.css";
import { duration, onRunClock } from "../../figures/clock.ts";
import { nominal } from "../../figures/digits.ts";
import { client, wordsOf } from "../../station.ts";
import css from "./by-hand.module.css";
import { Keypad } from "./keypad.tsx";
import { TypedList } from "./typed-list.tsx";
import { startFrom } from "./typing.ts";

/** When it was seen: mostly now; a minute or two ago where hands were full. */
const seen: readonly (readonly [ago: number, words: string])[] = [
  [0, "now"],
  [60, "1 min ago"],
  [120, "2 min ago"],
];

type Send = (command: Omit<RunCommand, "by">) => void;

/** The keypad of one channel; it begins anew, from the last value, with each reading that is taken. */
const Reading = ({
  hand,
  channel,
  asked,
  send,
  busy,
  children,
}: {
  hand: HandView;
  channel: HandView["channels"][number];
  asked: number | null;
  send: Send;
  busy: boolean;
  children: ReactNode;
}) => {
  const { question } = hand;
  const questioned = question?.channel === channel.channel ? question : null;
  // What was questioned is typed anew as a whole; else only what changes from one reading to the next.
  const [typing, change] = useState(() =>
    questioned === null ? startFrom(channel.last) : { text: questioned.typed, from: 0, to: questioned.typed.length },
  );
  const [ago, setAgo] = useState(0);
  return (
    <form
      className={css.pad}
      onSubmit={(event) => {
        event.preventDefault();
        const typed = typing.text.trim();
        if (typed !== "")
          send({ command: "enter-reading", channel: channel.channel, typed, ...(ago > 0 ? { ago } : {}) });
      }}
    >
      {questioned !== null && (
        <div className={`${parts.trouble} ${css.question}`} role="alert">
          <p>
            <span className="unseen">{questioned.question}</span>
            <strong>{questioned.typed} is not taken yet.</strong> Type it again below, or:
          </p>
          <button
            type="button"
            className={parts.button}
            disabled={busy}
            onClick={() => send({ command: "confirm-reading" })}
          >
            Yes, {questioned.typed} as read
          </button>
        </div>
      )}
      <Keypad
        name={channel.name}
        unit={channel.unit}
        typing={typing}
        change={change}
        act={questioned === null ? "Enter" : "Enter instead"}
        busy={busy}
        wanted={asked}
      >
        <div className={css.seen} role="group" aria-label="Seen">
          <span>seen</span>
          {seen.map(([seconds, words]) => (
            <button
              key={seconds}
              type="button"
              className={parts.button}
              aria-pressed={ago === seconds}
              onClick={() => setAgo(seconds)}
            >
              {words}
            </button>
          ))}
        </div>
        {children}
      </Keypad>
    </form>
  );
};

/** The heat source has no wire: what it is to be set to, and the confirmation. */
const SetPoint = ({ temperature, send, busy }: { temperature: number; send: Send; busy: boolean }) => (
  <section className={css.set} aria-label="Set the source">
    <h2>Set the heat source to</h2>
    <p className={css.target}>
      {nominal(temperature)} <span className={css.unit}>°C</span>
    </p>
    <p>Switch it on, look that its display says so, then confirm. The waiting counts from then.</p>
    <button
      type="button"
      className={`${parts.button} ${parts.main} ${css.enter}`}
      disabled={busy}
      onClick={() => send({ command: "confirm-set-point" })}
    >
      It is set to {nominal(temperature)} °C and on
    </button>
  </section>
);

/** What is read and set by hand: the keypad, the question of an unlikely value, and the list of what was typed. */
export const HandPanel = ({ view, hand, by }: { view: RunView; hand: HandView; by: string }) => {
  const [picked, setPicked] = useState<{ channel: string; asked: number | null } | null>(null);
  const run = useMutation({ mutationFn: (command: RunCommand) => client.command(view.run, command) });
  const send: Send = (command) => run.mutate({ ...command, by });
  const askedAt = hand.asked?.at ?? null;
  const wanted = hand.question?.channel ?? hand.asked?.channels[0] ?? null;
  // Somebody may read another channel than the one that is asked for; with the next question that is over.
  const own = picked !== null && picked.asked === askedAt ? picked.channel : null;
  const name = own ?? wanted ?? hand.channels[0]?.channel;
  const channel = hand.channels.find((each) => each.channel === name);
  const can = view.commands.includes("enter-reading");
  const last = hand.readings[0];
  return (
    <div className={css.panel}>
      <div className={css.work}>
        {hand.setPoint !== null && <SetPoint temperature={hand.setPoint} send={send} busy={run.isPending} />}
        {can && channel !== undefined && (
          <>
            {hand.channels.length > 1 && (
              <div className={css.channels} role="group" aria-label="Channel">
                {hand.channels.map((each) => (
                  <button
                    key={each.channel}
                    type="button"
                    className={parts.button}
                    aria-pressed={each.channel === channel.channel}
                    onClick={() => setPicked({ channel: each.channel, asked: askedAt })}
                  >
                    {each.name}
                    {hand.asked?.channels.includes(each.channel) === true && <span className={css.mark}>read</span>}
                  </button>
                ))}
              </div>
            )}
            <Reading
              key={`${channel.channel} ${last?.time ?? ""} ${last?.channel ?? ""} ${hand.question?.time ?? ""}`}
              hand={hand}
              channel={channel}
              asked={askedAt}
              send={send}
              busy={run.isPending}
            >
              {wanted === null && (
                <p className={css.call}>
                  {hand.next === null
                    ? "Nothing to read yet."
                    : `Next reading in ${duration(Math.max(0, hand.next - view.at))}, at ${onRunClock(view.opened, hand.next).text}.`}
                </p>
              )}
              {view.commands.includes("enough-readings") && hand.taken < hand.wanted && (
                <button
                  type="button"
                  className={`${parts.button} ${css.enough}`}
                  disabled={run.isPending}
                  onClick={() => send({ command: "enough-readings" })}
                >
                  Enough with {hand.taken}; fewer readings cost uncertainty
                </button>
              )}
            </Reading>
          </>
        )}
        {run.error !== null && (
          <p role="alert" className={css.refused}>
            {wordsOf(run.error)}
          </p>
        )}
        {can && <p className={parts.note}>Typed by {by}; digits, time and name stand in the run's log.</p>}
      </div>
      <TypedList
        view={view}
        hand={hand}
        withdraw={({ channel: of, time }, reason) => send({ command: "withdraw-reading", channel: of, time, reason })}
      />
    </div>
  );
};
