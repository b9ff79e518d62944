import type { ClosingCheck, EventDraft } from "#calibration";
import { advance, pauseWithFault } from "./advance.ts";
import { coolEnough } from "./cautions.ts";
import { foresee } from "./foresee.ts";
import {
  nothing,
  type Decision,
  type Effect,
  type EngineInput,
  type ReferencePlace,
  type RunCommand,
} from "./inputs.ts";
import { blockEvents } from "./pending.ts";
import { checkChannelOf, currentStop, engineName, type EngineState } from "./state.ts";

/** Where the check that is under way wants the reference. */
export const placeWanted = (state: EngineState): ReferencePlace | null => {
  const plan = state.job.procedure.closingCheck;
  if (plan === undefined || plan.kind === "first-point") return null;
  return plan.kind === "ice-point" ? "ice-point" : "beside-check-thermometer";
};

/** A closing check is under way: begun, and neither measured nor left out. */
export const isChecking = (state: EngineState): boolean =>
  state.check !== null && !state.check.measured && state.ended === null && currentStop(state) === undefined;

/** A hot probe is not put into ice, nor moved at all: it cools in the source first (caution of the trade). */
export const isCoolToMove = (state: EngineState): boolean => {
  if (placeWanted(state) !== "ice-point") return true;
  const temperature = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  return temperature !== null && temperature < coolEnough;
};

export const awaitsPlacing = (state: EngineState): boolean => isChecking(state) && state.check?.placedAt === null;

/** The check thermometer has no channel: somebody must type what it shows, once the reference is steady. */
export const awaitsTyping = (state: EngineState): boolean => {
  const plan = state.job.procedure.closingCheck;
  const typed = plan?.kind === "check-thermometer" && checkChannelOf(state.job) === null;
  return typed && isChecking(state) && state.check?.settledAt != null;
};

/** What readings lead to while a check is under way. */
export const decideCheck = (state: EngineState, at: number): Decision => {
  const { check } = state;
  if (check === null || !isChecking(state) || state.paused !== null) return nothing;
  const where = placeWanted(state);
  if (check.placedAt === null) {
    if (where === null || state.volatile.placing || !isCoolToMove(state)) return nothing;
    return { ...nothing, effects: [{ kind: "place-reference", where }] };
  }
  const { latest } = check.settling;
  if (check.settledAt === null) {
    if (check.settling.ready && latest !== null) {
      const { options } = check.settling;
      return {
        events: [{ kind: "check-settled", at, evidence: { ...evidenceOf(latest), target: options.target } }],
        effects: [],
      };
    }
    const { longestWait } = state.job.procedure.settling;
    if (at - check.placedAt <= longestWait) return nothing;
    const message = `The reference has not become steady for its check within ${Math.round(longestWait / 60)} minutes. Look at the ${where === "ice-point" ? "ice: fill up and press it down, pour water off" : "source and at both thermometers"}; then resume to begin the check anew, or leave it out with a reason.`;
    return { events: pauseWithFault(at, { code: "settling.too-slow", message }), effects: [] };
  }
  if (awaitsTyping(state) || check.first === null || check.last === null) return nothing;
  if (check.count < state.job.procedure.readings.count) return nothing;
  return {
    events: [{ kind: "check-measured", at, from: check.first, to: check.last, by: engineName }],
    effects: [{ kind: "judge-check" }],
  };
};

type Judgement = NonNullable<NonNullable<EngineState["check"]>["settling"]["latest"]>;

const evidenceOf = (latest: Judgement) => ({
  from: latest.window.from,
  to: latest.window.to,
  estimate: latest.estimate,
  remainder: latest.remainder,
  standardUncertainty: latest.standardUncertainty,
  slope: latest.slope,
  slopeStandardError: latest.slopeStandardError,
  autocorrelation: latest.autocorrelation,
});

/** The check as evaluation sees it: a note and on, or the run paused while everybody is still on site. */
export const checkJudged = (state: EngineState, at: number, checks: readonly ClosingCheck[]): Decision => {
  const bad = checks.find(({ status }) => status !== "holds");
  if (bad !== undefined) {
    const { channel } = state.job.kit.reference;
    return { events: pauseWithFault(at, { code: "kit.check-failed", message: bad.statement, channel }), effects: [] };
  }
  const notes: EventDraft[] = checks.map(({ statement }) => ({
    kind: "note-added",
    at,
    text: statement,
    by: engineName,
  }));
  const next = advance(foresee(state, notes), at, { judged: true });
  return { events: [...notes, ...next.events], effects: next.effects };
};

/** The reference is where it was to be put. */
export const placed = (state: EngineState, at: number, where: ReferencePlace, by: string): Decision => ({
  events: [...blockEvents(state, state.volatile, at), { kind: "reference-placed", at, where, by }],
  effects: [],
  volatile: { ...state.volatile, pending: {}, pendingSince: null, placing: false },
});

const placeWords: Readonly<Record<ReferencePlace, string>> = {
  "ice-point":
    "Put the reference into the ice point, as deep as it is used, and confirm. Finely shaved ice, filled up with clean water, no gaps.",
  "beside-check-thermometer": "Put the check thermometer beside the reference, equally deep, and confirm.",
  source: "Put the reference back into the source, where it was, before the run goes on.",
};

/** The bench has no hand: a person puts the reference where it is wanted. Going back, the run waits for it paused. */
export const placeByHand = (
  state: EngineState,
  input: Extract<EngineInput, { kind: "effect-failed" }>,
  where: ReferencePlace,
): Decision => {
  const text = placeWords[where];
  const note: EventDraft = { kind: "note-added", at: input.at, text, by: engineName };
  if (where !== "source") return { events: [note], effects: [], volatile: { ...state.volatile, placing: true } };
  return {
    events: [
      { kind: "reference-placed", at: input.at, where: "source", by: engineName },
      { kind: "run-paused", at: input.at, reason: text, by: engineName },
    ],
    effects: [],
  };
};

/** What the typed value of the check thermometer leads to: the readings just before it are its window. */
export const recordCheck = (
  state: EngineState,
  at: number,
  command: Extract<RunCommand, { command: "record-check" }>,
): Decision => {
  const { count, interval } = state.job.procedure.readings;
  const settledAt = state.check?.settledAt ?? at;
  const from = Math.max(settledAt - count * interval, at - count * interval);
  const effects: Effect[] = [{ kind: "judge-check" }];
  return {
    events: [
      ...blockEvents(state, state.volatile, at),
      { kind: "check-measured", at, from, to: at, typed: command.value, by: command.by },
    ],
    effects,
  };
};
