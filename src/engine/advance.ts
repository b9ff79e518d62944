import type { EventDraft, Pass } from "#calibration";
import { nothing, type Decision, type Effect } from "./inputs.ts";
import { firstSetPoint } from "./ramp/ramp-state.ts";
import { limitsCrossed } from "./readiness.ts";
import { switchSource } from "./switch-source.ts";
import { engineName, nextStop, type EngineState } from "./state.ts";
import { rampLimit, sendWithin } from "./way.ts";

/** Pauses with a fault that a person must look at. */
export const pauseWithFault = (
  at: number,
  fault: {
    readonly code: string;
    readonly message: string;
    readonly item?: string;
    readonly channel?: string;
    readonly pass?: Pass;
    readonly point?: number;
  },
): EventDraft[] => [
  { kind: "fault-seen", at, ...fault },
  { kind: "run-paused", at, reason: fault.message, by: engineName },
];

/** The end of a run: the source off, then the end itself. */
export const endRun = (
  state: Pick<EngineState, "job">,
  at: number,
  outcome: "completed" | "stopped" | "failed",
  by: string,
  reason?: string,
): Decision => {
  const off = switchSource(state, at, false);
  return {
    events: [...off.events, { kind: "run-ended", at, outcome, by, ...(reason === undefined ? {} : { reason }) }],
    effects: [...off.effects, { kind: "finish" }],
  };
};

/** The pass that is over, where the procedure checks each pass at its first point and nobody has looked yet. */
const passToJudge = (state: EngineState, next: Pass | undefined): Pass | undefined => {
  if (state.job.procedure.closingCheck?.kind !== "first-point") return undefined;
  const last = state.begunPasses.at(-1);
  if (last === undefined || last === next || state.skippedChecks.includes(last)) return undefined;
  // Left out as a whole: nothing was repeated, because nothing was measured.
  const measured = state.stops.some(({ pass, status }) => pass === last && status === "measured");
  return measured ? last : undefined;
};

/**
 * The closing check at the ice point or beside a second thermometer, begun in the cool-down after the last point: for the ice
 * point the source is switched off, for the thermometer it goes to where the two are compared.
 */
const beginCheck = (state: EngineState, at: number): Decision | null => {
  const plan = state.job.procedure.closingCheck;
  if (plan === undefined || plan.kind === "first-point" || state.skippedChecks.includes("run")) return null;
  if (plan.kind === "ice-point") {
    const off = switchSource(state, at, false);
    return { ...off, events: [...off.events, { kind: "check-begun", at, temperature: 0, by: engineName }] };
  }
  const [crossed] = limitsCrossed(state.job, plan.temperature);
  if (crossed !== undefined)
    return { events: pauseWithFault(at, { code: "run.limit", message: crossed.message }), effects: [] };
  const on = state.output ? nothing : switchSource(state, at, true);
  return {
    events: [{ kind: "check-begun", at, temperature: plan.temperature, by: engineName }, ...on.events],
    effects: [...sendWithin(state, plan.temperature, at), ...on.effects],
  };
};

/**
 * What comes next: the next stop that is still ahead, in order; before the first stop of the second pass, the adjustment;
 * after the last stop, the closing check, then the end. A set point that crosses a limit of kit or item is never commanded.
 * `judged`: the check was looked at just now, and it holds.
 */
export const advance = (state: EngineState, at: number, { judged = false } = {}): Decision => {
  const stop = nextStop(state);
  if (!judged && passToJudge(state, stop?.pass) !== undefined)
    return { events: [], effects: [{ kind: "judge-check" }] };
  if (stop === undefined) return (judged ? null : beginCheck(state, at)) ?? endRun(state, at, "completed", engineName);
  const events: EventDraft[] = [];
  const effects: Effect[] = [];
  if (!state.begunPasses.includes(stop.pass)) {
    if (stop.pass === "as-left" && !state.adjustmentDecided) {
      return { events: [], effects: [{ kind: "advise-adjustment" }] };
    }
    events.push({ kind: "pass-begun", at, pass: stop.pass });
  }
  const temperature = firstSetPoint(state.job, stop);
  const [crossed] = [temperature, stop.temperature].flatMap((each) => limitsCrossed(state.job, each));
  if (crossed !== undefined) {
    return { events: [...events, ...pauseWithFault(at, { code: "run.limit", message: crossed.message })], effects };
  }
  if (state.referencePlace === "ice-point") effects.push({ kind: "place-reference", where: "source" });
  events.push({ kind: "set-point-commanded", at, pass: stop.pass, point: stop.point, temperature });
  if (state.job.procedure.ramp?.by === "source" && rampLimit(state) === null)
    effects.push({ kind: "set-ramp-rate", rate: null });
  effects.push(...sendWithin(state, temperature, at));
  const on = state.output ? nothing : switchSource(state, at, true);
  return { events: [...events, ...on.events], effects: [...effects, ...on.effects] };
};
