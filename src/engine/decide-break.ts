import { limitsOf, type EventDraft } from "#calibration";
import { nothing, type Decision, type RunCommand } from "./inputs.ts";
import { blockEvents } from "./pending.ts";
import type { EngineState } from "./state.ts";
import { switchSource } from "./switch-source.ts";

/** How long a source may hold a temperature with nobody there, where the procedure does not say, s (*ours*). */
const usualUnattended = 1800;

export const longestUnattended = (state: EngineState): number =>
  Math.min(
    state.job.procedure.unattended ?? usualUnattended,
    limitsOf(state.job).unattended?.value ?? Number.POSITIVE_INFINITY,
  );

/** A break: the run is paused; the source holds for a limited time, or is switched off and cools. */
export const takeBreak = (
  state: EngineState,
  at: number,
  command: Extract<RunCommand, { command: "break" }>,
): Decision => {
  const { hold, by } = command;
  const limit = longestUnattended(state);
  const until = hold && state.output ? at + Math.min(command.seconds ?? limit, limit) : null;
  const reason =
    until === null
      ? "a break; the source is off"
      : `a break; the source holds for ${Math.round((until - at) / 60)} minutes at most, then it is switched off`;
  const off = hold || !state.output ? nothing : switchSource(state, at, false);
  const events: EventDraft[] = [
    ...blockEvents(state, state.volatile, at),
    { kind: "break-begun", at, hold: until !== null, until, by },
    ...off.events,
    { kind: "run-paused", at, reason, by },
  ];
  return { events, effects: off.effects };
};

/** Nobody came back in time: the source is switched off, and the log says so. */
export const breakOverrun = (state: EngineState, at: number): Decision => {
  const { onBreak } = state;
  if (onBreak === null || onBreak.until === null || at < onBreak.until || state.ended !== null) return nothing;
  const minutes = Math.round((onBreak.until - onBreak.at) / 60);
  const off = switchSource(state, at, false);
  const done =
    off.effects.length > 0 ? "so the source was switched off" : "and the source has no wire: switch it off now";
  const reason = `Nobody came back from the break within ${minutes} minutes, ${done}.`;
  return {
    events: [
      { kind: "break-overrun", at, reason },
      ...off.events,
      { kind: "fault-seen", at, code: "run.unattended", message: reason },
    ],
    effects: off.effects,
  };
};
