import { createSettling, defaultSettling, learnPace, type SettlingOptions, type SettlingState } from "#settling";
import { jobAfter, jobConverter, type Job, type RunEvent, type RunEventOf } from "#calibration";
import { checkBegun, checkInterrupted, referencePlaced } from "./evolve-check.ts";
import { readingsTaken } from "./evolve-readings.ts";
import { kitReplaced, pointAdded, pointsSwapped } from "./evolve-route.ts";
import { followHand } from "./hand/follow-hand.ts";
import { followRamp } from "./ramp/follow-ramp.ts";
import { settlingTarget } from "./settling-target.ts";
import { lostSourceOf } from "./source-contact.ts";
import { wayTo } from "./way.ts";
import {
  currentStop,
  engineName,
  measuresEach,
  noVolatile,
  type EngineState,
  type Measuring,
  type PlannedStop,
  type StopStatus,
} from "./state.ts";

const markStop = (
  stops: readonly PlannedStop[],
  { pass, point }: { pass: string; point: number },
  change: Partial<PlannedStop>,
): readonly PlannedStop[] =>
  stops.map((stop) => (stop.pass === pass && stop.point === point ? { ...stop, ...change } : stop));

/** The rules of a written procedure, where it has any. */
const boundBy = ({ procedure }: Job): Pick<SettlingOptions, "rules" | "judgement"> => {
  const { rules } = procedure.settling;
  return rules === undefined ? {} : { rules, judgement: rules.judgement };
};

const freshSettling = ({ job, learnt }: EngineState, temperature: number): Record<string, SettlingState> =>
  Object.fromEntries(
    job.items.map((item) => [
      item.id,
      createSettling({
        ...defaultSettling,
        minimumWindow: job.procedure.settling.minimumWindow,
        longestWindow: Math.max(defaultSettling.longestWindow, job.procedure.settling.minimumWindow),
        resolution: item.indicationResolution ?? 0,
        target: settlingTarget(job, item, temperature),
        setPoint: temperature,
        ...boundBy(job),
        ...(learnt.pace[item.id] === undefined ? {} : { known: learnt.pace[item.id] }),
      }),
    ]),
  );

/** Nothing is known yet of the approach to the present point. */
const freshApproach = {
  settled: {},
  tracks: {},
  measuring: null,
  reference: { times: [], temperatures: [] },
  itemStretches: {},
} as const;

const setPointCommanded = (state: EngineState, event: RunEventOf<"set-point-commanded">): EngineState => ({
  ...state,
  ...freshApproach,
  check: null,
  stops: markStop(
    state.stops.map((stop) => (stop.status === "current" ? { ...stop, status: "ahead" as StopStatus } : stop)),
    event,
    { status: "current", reason: null },
  ),
  setPoint: { temperature: event.temperature, at: event.at },
  way: wayTo(state, event.temperature, event.at),
  settling: freshSettling(state, event.temperature),
  learnt: { ...state.learnt, from: state.latest[state.job.kit.reference.channel]?.temperature ?? null },
});

/** Measuring from a moment on: of all items at once, or of one more beside those that are being measured. */
const startMeasuring = (before: Measuring | null, items: readonly string[], at: number): Measuring => ({
  starts: { ...before?.starts, ...Object.fromEntries(items.map((item) => [item, at])) },
  counts: before?.counts ?? {},
  sums: before?.sums ?? {},
  firsts: before?.firsts ?? {},
  lasts: before?.lasts ?? {},
});

/** What an item's approach taught about forecasts, now that it is over. */
const paceLearnt = (state: EngineState, item: string): EngineState["learnt"] => {
  const settling = state.settling[item];
  if (settling === undefined) return state.learnt;
  const { pace } = state.learnt;
  return { ...state.learnt, pace: { ...pace, [item]: learnPace(pace[item], settling) } };
};

/** How long the point took that is now done. */
const pointLearnt = ({ setPoint, learnt }: EngineState, at: number): EngineState["learnt"] => {
  if (setPoint === null || learnt.from === null) return learnt;
  const taken = { travel: Math.abs(setPoint.temperature - learnt.from), seconds: at - setPoint.at };
  return { ...learnt, points: [...learnt.points, taken] };
};

const pointSettled = (state: EngineState, event: RunEventOf<"point-settled">): EngineState => {
  const settled = { ...state.settled, [event.item]: event.evidence };
  const learnt = paceLearnt(state, event.item);
  if (measuresEach(state.job))
    return { ...state, settled, learnt, measuring: startMeasuring(state.measuring, [event.item], event.at) };
  const items = state.job.items.map(({ id }) => id);
  const all = items.every((item) => settled[item] !== undefined);
  return { ...state, settled, learnt, measuring: all ? startMeasuring(null, items, event.at) : null };
};

const meanErrors = ({ counts, sums }: Measuring): Record<string, number> =>
  Object.fromEntries(Object.entries(counts).map(([item, count]) => [item, sums[item]! / count]));

const without = <T>(record: Readonly<Record<string, T>>, key: string): Record<string, T> =>
  Object.fromEntries(Object.entries(record).filter(([name]) => name !== key));

/** One item of several has its window; the point is measured once all have. */
const itemMeasured = (state: EngineState, event: RunEventOf<"point-measured">, item: string): EngineState => {
  const { measuring } = state;
  const stop = state.stops.find(({ pass, point }) => pass === event.pass && point === event.point);
  if (measuring === null || stop === undefined) return state;
  const errors = { ...stop.errors, [item]: meanErrors(measuring)[item] ?? Number.NaN };
  const done = [...stop.done, item];
  if (state.job.items.every(({ id }) => done.includes(id))) {
    const stops = markStop(state.stops, event, { status: "measured", errors, done, flagged: false });
    return { ...state, ...freshApproach, learnt: pointLearnt(state, event.at), stops };
  }
  const starts = without(measuring.starts, item);
  return {
    ...state,
    stops: markStop(state.stops, event, { errors, done }),
    measuring:
      Object.keys(starts).length === 0 ? null : { ...measuring, starts, counts: without(measuring.counts, item) },
  };
};

const pointMeasured = (state: EngineState, event: RunEventOf<"point-measured">): EngineState => {
  if (event.item !== undefined) return itemMeasured(state, event, event.item);
  const errors =
    state.measuring === null || state.hand !== null
      ? Object.fromEntries(Object.entries(state.settled).map(([item, { estimate }]) => [item, estimate]))
      : meanErrors(state.measuring);
  return {
    ...state,
    ...freshApproach,
    learnt: pointLearnt(state, event.at),
    stops: markStop(state.stops, event, { status: "measured", errors, flagged: false }),
  };
};

/** So many of the latest faults are shown; the log has them all. */
const mostFaults = 100;

const faultSeen = (state: EngineState, event: RunEventOf<"fault-seen">): EngineState => ({
  ...state,
  sourceInDoubt: state.sourceInDoubt || state.ended !== null,
  check: event.code === "kit.check-failed" && state.check !== null ? { ...state.check, failed: true } : state.check,
  faults: [
    ...state.faults.slice(1 - mostFaults),
    { at: event.at, code: event.code, message: event.message, item: event.item ?? null },
  ],
});

/** A pause breaks a measurement off: the readings of a point belong to one uninterrupted window. */
const runResumed = (state: EngineState, at: number): EngineState => ({
  ...state,
  paused: null,
  onBreak: null,
  contact: null,
  way: state.way === null ? null : { ...state.way, at },
  check: checkInterrupted(state.check),
  measuring: state.measuring === null ? null : startMeasuring(null, Object.keys(state.measuring.starts), at),
});

const paused = (state: EngineState, event: RunEventOf<"run-paused">): EngineState => {
  const latest = state.faults.at(-1);
  const faulty = latest !== undefined && latest.at === event.at;
  return {
    ...state,
    onBreak: event.by === engineName ? null : state.onBreak,
    paused: { at: event.at, reason: event.reason, by: event.by, faulty },
  };
};

/** The kit or an item's coefficients are others from here on: so is what signals mean. */
const withJobAfter = (state: EngineState, event: RunEvent): EngineState => {
  const job = jobAfter(state.job, event);
  return { ...state, job, converter: jobConverter(job) };
};

const change = (state: EngineState, event: RunEvent): EngineState => {
  switch (event.kind) {
    case "run-opened":
    case "note-added":
    case "reading-rejected":
    case "reading-asked":
    case "reading-questioned":
    case "set-point-confirmed":
    case "source-found":
    case "ramp-begun":
    case "ramp-stepped":
    case "contact-changed":
    case "ramp-ended":
      return state;
    case "pass-begun":
      return { ...state, begun: true, begunPasses: [...state.begunPasses, event.pass] };
    case "output-switched":
      return { ...state, output: event.on, switched: true };
    case "set-point-commanded":
      return setPointCommanded(state, event);
    case "readings-taken":
      return readingsTaken(state, event);
    case "point-settled":
      return pointSettled(state, event);
    case "point-measured":
      return pointMeasured(state, event);
    case "point-skipped": {
      const leaves = currentStop(state)?.point === event.point && currentStop(state)?.pass === event.pass;
      const stops = markStop(state.stops, event, { status: "skipped", reason: event.reason });
      return leaves ? { ...state, ...freshApproach, stops } : { ...state, stops };
    }
    case "point-repeated":
      return {
        ...state,
        stops: markStop(state.stops, event, { status: "ahead", reason: event.reason, errors: {}, done: [] }),
      };
    case "point-added":
      return pointAdded(state, event);
    case "points-swapped":
      return pointsSwapped(state, event);
    case "kit-replaced":
      return { ...kitReplaced(withJobAfter(state, event), state, event), ...freshApproach, settling: {} };
    case "coefficients-loaded":
      return { ...withJobAfter(state, event), adjusted: [...state.adjusted, event.item], adjustmentDecided: true };
    case "break-begun":
      return { ...state, onBreak: { at: event.at, hold: event.hold, until: event.until } };
    case "break-overrun":
      return { ...state, onBreak: state.onBreak === null ? null : { ...state.onBreak, hold: false, until: null } };
    case "source-lost":
      return { ...state, contact: lostSourceOf(state, event) };
    case "set-point-stepped":
      return { ...state, way: state.way === null ? null : { ...state.way, sent: event.temperature, at: event.at } };
    case "check-begun":
      return checkBegun(state, event);
    case "reference-placed":
      return referencePlaced(state, event);
    case "check-settled":
      return state.check === null ? state : { ...state, check: { ...state.check, settledAt: event.at } };
    case "check-measured":
      return state.check === null ? state : { ...state, check: { ...state.check, measured: true } };
    case "check-skipped":
      return { ...state, skippedChecks: [...state.skippedChecks, event.pass ?? "run"] };
    case "fault-seen":
      // What is missing in the log stands in the log; nothing is to be done about it at the bench.
      return event.code === "reading.missing" ? state : faultSeen(state, event);
    case "item-adjusted":
      return { ...state, adjusted: [...state.adjusted, event.item], adjustmentDecided: true };
    case "run-paused":
      return paused(state, event);
    case "run-resumed":
      return runResumed(state, event.at);
    case "run-ended":
      return { ...state, paused: null, ended: { outcome: event.outcome, at: event.at } };
    case "source-cool":
      return { ...state, sourceInDoubt: false, coolBelow: event.below };
  }
};

/** Folds one event of the log into the state. The volatile part is left alone: it is not the log's business. */
export const evolve = (state: EngineState, event: RunEvent): EngineState => {
  const next = followHand(followRamp(change(state, event), event), event);
  return next.at === event.at ? next : { ...next, at: event.at };
};

/** The state that a log leads to. Readings that were not in the log are gone, as they never were acknowledged. */
export const replay = (start: EngineState, events: readonly RunEvent[]): EngineState =>
  events.reduce(evolve, { ...start, volatile: noVolatile });
