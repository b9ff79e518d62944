import type { EventDraft } from "#calibration";
import type { Decision, Effect } from "./inputs.ts";
import { limitsCrossed } from "./readiness.ts";
import { engineName, nextStop, type EngineState } from "./state.ts";

/** Pauses with a fault that a person must look at. */
export const pauseWithFault = (
  at: number,
  fault: { readonly code: string; readonly message: string; readonly item?: string; readonly channel?: string },
): EventDraft[] => [
  { kind: "fault-seen", at, ...fault },
  { kind: "run-paused", at, reason: fault.message, by: engineName },
];

/** The end of a run: the source off, then the end itself. */
export const endRun = (
  at: number,
  outcome: "completed" | "stopped" | "failed",
  by: string,
  reason?: string,
): Decision => ({
  events: [
    { kind: "output-switched", at, on: false },
    { kind: "run-ended", at, outcome, by, ...(reason === undefined ? {} : { reason }) },
  ],
  effects: [{ kind: "switch-output", on: false }, { kind: "finish" }],
});

/**
 * What comes next: the next stop that is still ahead, in order; before the first stop of the second pass, the adjustment;
 * after the last stop, the end. A set point that crosses a limit of kit or item is never commanded.
 */
export const advance = (state: EngineState, at: number): Decision => {
  const stop = nextStop(state);
  if (stop === undefined) return endRun(at, "completed", engineName);
  const events: EventDraft[] = [];
  const effects: Effect[] = [];
  if (!state.begunPasses.includes(stop.pass)) {
    if (stop.pass === "as-left" && !state.adjustmentDecided) {
      return { events: [], effects: [{ kind: "advise-adjustment" }] };
    }
    events.push({ kind: "pass-begun", at, pass: stop.pass });
  }
  const [crossed] = limitsCrossed(state.job, stop.temperature);
  if (crossed !== undefined) {
    return { events: [...events, ...pauseWithFault(at, { code: "run.limit", message: crossed.message })], effects };
  }
  events.push({ kind: "set-point-commanded", at, pass: stop.pass, point: stop.point, temperature: stop.temperature });
  effects.push({ kind: "command-set-point", temperature: stop.temperature });
  if (!state.output) {
    events.push({ kind: "output-switched", at, on: true });
    effects.push({ kind: "switch-output", on: true });
  }
  return { events, effects };
};
