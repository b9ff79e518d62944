import type { FaultValue } from "#fault";
import { isTyped, type EventDraft } from "#calibration";
import { adjustedEvent } from "./adjusted-event.ts";
import { advance, endRun } from "./advance.ts";
import { takeBreak } from "./decide-break.ts";
import {
  awaitsPlacing,
  awaitsTyping,
  isChecking,
  isCoolToMove,
  placed,
  placeWanted,
  recordCheck,
} from "./decide-check.ts";
import { replaceKit } from "./decide-kit.ts";
import { addPoint, asFoundLocked, canSwap, passInHand, swapPoints } from "./decide-route.ts";
import {
  confirmReading,
  confirmSetPoint,
  enoughReadings,
  enterReading,
  handCommands,
  withdrawReading,
} from "./hand/hand-commands.ts";
import { foresee } from "./foresee.ts";
import { nothing, type Decision, type RunCommand, type RunCommandName } from "./inputs.ts";
import { blockEvents } from "./pending.ts";
import { currentStop, engineName, nextStop, type EngineState, type PlannedStop } from "./state.ts";

/**
 * Readings older than this are no continuation: the approach to the point is judged anew, s. So it is after a pause that
 * the engine itself made, for a fault or because the program was interrupted: nobody knows what the source did meanwhile.
 */
const longestGap = 30;

/** What can be asked of the run now. */
export const allowedCommands = (state: EngineState): readonly RunCommandName[] => {
  if (state.ended !== null) return ["add-note"];
  if (!state.begun) return ["start", "add-note", "stop"];
  const onTheRoute: RunCommandName[] = [];
  if (repeatable(state).length > 0) onTheRoute.push("repeat-point");
  const ramps = state.job.procedure.ramp !== undefined;
  if (!ramps && passInHand(state) !== null) onTheRoute.push("add-point");
  if (!ramps && canSwap(state)) onTheRoute.push("swap-points");
  if (awaitsAdjustment(state)) return ["confirm-adjustment", ...onTheRoute, "replace-kit", "add-note", "stop"];
  const working: RunCommandName[] = [state.paused === null ? "pause" : "resume", ...handCommands(state)];
  if (isChecking(state) && state.paused === null) {
    // A bench with hands puts the reference there itself; only where it cannot is a person asked.
    if (awaitsPlacing(state) && isCoolToMove(state) && state.volatile.placing) working.push("confirm-check");
    if (awaitsTyping(state)) working.push("record-check");
  }
  if (canSkipCheck(state)) working.push("skip-check");
  const stopInHand = currentStop(state) ?? nextStop(state);
  if (stopInHand !== undefined && (currentStop(state) !== undefined || state.paused !== null))
    working.push("skip-point");
  if (state.onBreak === null) working.push("break");
  return [...working, ...onTheRoute, "replace-kit", "add-note", "stop"];
};

/** A check can be left out once it is due: under way, or failed and looked at. */
const canSkipCheck = (state: EngineState): boolean => {
  const plan = state.job.procedure.closingCheck;
  if (plan === undefined || currentStop(state) !== undefined) return false;
  return plan.kind === "first-point"
    ? state.paused !== null && state.faults.at(-1)?.code === "kit.check-failed"
    : state.check !== null;
};

/** As found is done, and the second pass waits for the adjustment to be decided. */
export const awaitsAdjustment = (state: EngineState): boolean =>
  state.paused === null &&
  currentStop(state) === undefined &&
  nextStop(state)?.pass === "as-left" &&
  !state.begunPasses.includes("as-left") &&
  !state.adjustmentDecided;

/** Stops that may be repeated: measured or skipped ones, and as found only until an adjustment has been made. */
const repeatable = (state: EngineState): readonly PlannedStop[] =>
  state.stops.filter((stop) => stop.status !== "ahead" && !(stop.pass === "as-found" && asFoundLocked(state)));

const refuse = (message: string): Decision => ({
  ...nothing,
  refusal: { code: "run.not-allowed", message } satisfies FaultValue,
});

/** Events first, then whatever comes next once they hold. */
const thenAdvance = (state: EngineState, at: number, events: readonly EventDraft[]): Decision => {
  const next = advance(foresee(state, events), at);
  return { events: [...events, ...next.events], effects: next.effects };
};

/** Goes on after a pause: where it was, or with the point approached anew. */
export const resume = (state: EngineState, at: number, by: string): Decision => {
  const latest = state.latest[state.job.kit.reference.channel];
  // A reference that is typed has no readings in between; whether its source held is for the next round to show.
  const typed = isTyped(state.job.bench, state.job.kit.reference.channel);
  const gap = !typed && (latest === undefined || at - latest.time > longestGap);
  const events: EventDraft[] = [{ kind: "run-resumed", at, by }];
  const fresh = gap || state.paused?.by === engineName || !state.output || currentStop(state) === undefined;
  // After a power cut a source comes back with its output off, whatever the log says: it is switched on again.
  return fresh ? thenAdvance({ ...state, output: false }, at, events) : { events, effects: [] };
};

const repeat = (
  state: EngineState,
  at: number,
  command: Extract<RunCommand, { command: "repeat-point" }>,
): Decision => {
  const candidates = repeatable(state);
  const stop =
    command.point === undefined
      ? (currentStop(state) ?? candidates.findLast((candidate) => candidate.status === "measured") ?? candidates.at(-1))
      : candidates.find(
          (candidate) => candidate.point === command.point && candidate.pass === (command.pass ?? candidate.pass),
        );
  if (stop === undefined) {
    return refuse(
      "That point cannot be repeated: it has not been visited yet, or it was measured as found and the item has been adjusted since.",
    );
  }
  const events: EventDraft[] = [
    ...blockEvents(state, state.volatile, at),
    ...(state.paused === null ? [] : [{ kind: "run-resumed" as const, at, by: command.by }]),
    { kind: "point-repeated", at, pass: stop.pass, point: stop.point, reason: command.reason, by: command.by },
  ];
  return thenAdvance(state, at, events);
};

const skip = (state: EngineState, at: number, command: Extract<RunCommand, { command: "skip-point" }>): Decision => {
  const stop = currentStop(state) ?? nextStop(state);
  if (stop === undefined) return refuse("There is no point to skip.");
  return thenAdvance(state, at, [
    ...blockEvents(state, state.volatile, at),
    ...(state.paused === null ? [] : [{ kind: "run-resumed" as const, at, by: command.by }]),
    { kind: "point-skipped", at, pass: stop.pass, point: stop.point, reason: command.reason, by: command.by },
  ]);
};

/** The check is left out, or stands as it failed: the log says who decided it and why, and the result says what it means. */
const skipCheck = (
  state: EngineState,
  at: number,
  command: Extract<RunCommand, { command: "skip-check" }>,
): Decision => {
  const pass = state.job.procedure.closingCheck?.kind === "first-point" ? state.begunPasses.at(-1) : undefined;
  return thenAdvance(state, at, [
    ...blockEvents(state, state.volatile, at),
    ...(state.paused === null ? [] : [{ kind: "run-resumed" as const, at, by: command.by }]),
    { kind: "check-skipped", at, ...(pass === undefined ? {} : { pass }), reason: command.reason, by: command.by },
  ]);
};

/** What a person's command leads to; a refusal says why and what can be done instead. */
export const decideCommand = (state: EngineState, at: number, command: RunCommand): Decision => {
  if (!allowedCommands(state).includes(command.command)) {
    return refuse(`"${command.command}" cannot be done now; possible: ${allowedCommands(state).join(", ")}.`);
  }
  switch (command.command) {
    case "start":
      return advance(state, at);
    case "pause":
      return {
        events: [
          ...blockEvents(state, state.volatile, at),
          { kind: "run-paused", at, reason: "asked for", by: command.by },
        ],
        effects: [],
      };
    case "resume":
      // After a loss of contact nobody knows how the source stands: it is asked first.
      return state.contact === null
        ? resume(state, at, command.by)
        : { events: [], effects: [{ kind: "look-at-source", by: command.by }] };
    case "repeat-point":
      return repeat(state, at, command);
    case "skip-point":
      return skip(state, at, command);
    case "add-point":
      return addPoint(state, at, command);
    case "swap-points":
      return swapPoints(state, at, command);
    case "break":
      return takeBreak(state, at, command);
    case "replace-kit":
      return replaceKit(state, at, command);
    case "confirm-check":
      return placed(state, at, placeWanted(state) ?? "source", command.by);
    case "record-check":
      return recordCheck(state, at, command);
    case "skip-check":
      return skipCheck(state, at, command);
    case "confirm-adjustment":
      return thenAdvance({ ...state, adjustmentDecided: true }, at, [
        ...state.volatile.advised.filter(({ adjust }) => adjust).map((advice) => adjustedEvent(advice, at, command.by)),
        { kind: "note-added", at, text: "Adjustment confirmed by hand; going on as left.", by: command.by },
      ]);
    case "enter-reading":
      return enterReading(state, at, command);
    case "confirm-reading":
      return confirmReading(state, at, command.by);
    case "withdraw-reading":
      return withdrawReading(state, at, command);
    case "enough-readings":
      return enoughReadings(state, at, command.by);
    case "confirm-set-point":
      return confirmSetPoint(state, at, command);
    case "add-note":
      return { events: [{ kind: "note-added", at, text: command.text, by: command.by }], effects: [] };
    case "stop": {
      const end = endRun(state, at, "stopped", command.by, command.reason);
      return { events: [...blockEvents(state, state.volatile, at), ...end.events], effects: end.effects };
    }
  }
};
