import {
  createSettling,
  defaultSettling,
  learnPace,
  observe,
  observeSource,
  type SettlingOptions,
  type SettlingState,
} from "#settling";
import { extendTrack } from "#diagnosis";
import { jobAfter, jobConverter, type Item, type Job, type RunEvent, type RunEventOf } from "#calibration";
import { checkBegun, checkInterrupted, checkRead, referencePlaced } from "./evolve-check.ts";
import { kitReplaced, pointAdded, pointsSwapped } from "./evolve-route.ts";
import { followRamp } from "./ramp/follow-ramp.ts";
import { settlingTarget } from "./settling-target.ts";
import {
  checkChannelOf,
  currentStop,
  engineName,
  measuresEach,
  noVolatile,
  sourceChannelOf,
  type EngineState,
  type Measuring,
  type PlannedStop,
  type ReferenceStretch,
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

/** The source's own temperature, for the rules that look at it. */
const sourceWatched = (state: EngineState, event: RunEventOf<"readings-taken">): EngineState => {
  if (event.unit !== "°C" || event.channel !== sourceChannelOf(state.job)) return state;
  const settling = Object.fromEntries(
    Object.entries(state.settling).map(([item, each]) => [
      item,
      event.values.reduce((next, value, index) => observeSource(next, event.times[index]!, value), each),
    ]),
  );
  return { ...state, settling };
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

/** So many readings of the present approach are kept of the reference and of each item. */
const keep = 90;

const longer = (
  { times, temperatures }: ReferenceStretch,
  more: readonly { readonly time: number; readonly temperature: number }[],
): ReferenceStretch => ({
  times: [...times, ...more.map(({ time }) => time)].slice(-keep),
  temperatures: [...temperatures, ...more.map(({ temperature }) => temperature)].slice(-keep),
});

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
  settling: freshSettling(state, event.temperature),
  learnt: { ...state.learnt, from: state.latest[state.job.kit.reference.channel]?.temperature ?? null },
});

/** Reference temperature at a moment: linear between readings, the nearest one at the ends; null where there is none. */
const referenceAt = ({ times, temperatures }: EngineState["reference"], time: number): number | null => {
  const after = times.findIndex((candidate) => candidate >= time);
  if (times.length === 0) return null;
  if (after === -1) return temperatures[times.length - 1]!;
  if (after === 0) return temperatures[0]!;
  const share = (time - times[after - 1]!) / (times[after]! - times[after - 1]!);
  return temperatures[after - 1]! + share * (temperatures[after]! - temperatures[after - 1]!);
};

const referenceRead = (state: EngineState, event: RunEventOf<"readings-taken">): EngineState => {
  const more: { time: number; temperature: number }[] = [];
  let last: number | null = null;
  let { check } = state;
  const alone = checkChannelOf(state.job) === null;
  event.values.forEach((value, index) => {
    const converted = state.converter.reference(value);
    last = converted.ok ? converted.value : null;
    if (!converted.ok) return;
    more.push({ time: event.times[index]!, temperature: converted.value });
    if (check !== null && alone) {
      const reading = { time: event.times[index]!, reference: converted.value, standard: check.temperature };
      check = checkRead(check, reading);
    }
  });
  const latest = { time: event.times.at(-1)!, signal: event.values.at(-1)!, temperature: last };
  return {
    ...state,
    check,
    reference: longer(state.reference, more),
    latest: { ...state.latest, [event.channel]: latest },
  };
};

/** A second thermometer beside the reference, read on a channel of its own. */
const checkThermometerRead = (state: EngineState, event: RunEventOf<"readings-taken">): EngineState => {
  let { check } = state;
  event.values.forEach((standard, index) => {
    const time = event.times[index]!;
    const reference = referenceAt(state.reference, time);
    if (check !== null && reference !== null) check = checkRead(check, { time, reference, standard });
  });
  const last = event.values.at(-1)!;
  const latest = { time: event.times.at(-1)!, signal: last, temperature: last };
  return { ...state, check, latest: { ...state.latest, [event.channel]: latest } };
};

const countReading = (measuring: Measuring, item: string, time: number, difference: number): Measuring =>
  time <= (measuring.starts[item] ?? Number.POSITIVE_INFINITY)
    ? measuring
    : {
        ...measuring,
        counts: { ...measuring.counts, [item]: (measuring.counts[item] ?? 0) + 1 },
        sums: { ...measuring.sums, [item]: (measuring.sums[item] ?? 0) + difference },
        firsts: { ...measuring.firsts, [item]: measuring.firsts[item] ?? time },
        lasts: { ...measuring.lasts, [item]: time },
      };

const itemRead = (state: EngineState, item: Item, event: RunEventOf<"readings-taken">): EngineState => {
  const junctionChannel = item.coldJunction?.kind === "channel" ? item.coldJunction.channel : null;
  const junction = junctionChannel === null ? undefined : state.latest[junctionChannel]?.signal;
  let settling = state.settling[item.id];
  let track = state.tracks[item.id];
  let measuring = state.measuring;
  let temperature: number | null = null;
  const more: { time: number; temperature: number }[] = [];
  event.values.forEach((signal, index) => {
    const time = event.times[index]!;
    const converted = state.converter.item(item.id, signal, junction);
    temperature = converted.ok ? converted.value : null;
    const reference = referenceAt(state.reference, time);
    if (converted.ok) more.push({ time, temperature: converted.value });
    if (!converted.ok || reference === null) return;
    track = extendTrack(track, { time, reference, item: converted.value, signal });
    if (settling !== undefined) settling = observe(settling, { time, reference, item: converted.value });
    if (measuring !== null) measuring = countReading(measuring, item.id, time, converted.value - reference);
  });
  const stretch = longer(state.itemStretches[item.id] ?? { times: [], temperatures: [] }, more);
  return {
    ...state,
    measuring,
    itemStretches: { ...state.itemStretches, [item.id]: stretch },
    settling: settling === undefined ? state.settling : { ...state.settling, [item.id]: settling },
    tracks: track === undefined ? state.tracks : { ...state.tracks, [item.id]: track },
    latest: {
      ...state.latest,
      [event.channel]: { time: event.times.at(-1)!, signal: event.values.at(-1)!, temperature },
    },
  };
};

const readingsTaken = (state: EngineState, event: RunEventOf<"readings-taken">): EngineState => {
  if (event.channel === state.job.kit.reference.channel) return referenceRead(state, event);
  const items = state.job.items.filter((item) => item.channel === event.channel);
  if (items.length > 0) return items.reduce((next, item) => itemRead(next, item, event), state);
  if (event.channel === checkChannelOf(state.job)) return checkThermometerRead(state, event);
  const signal = event.values.at(-1)!;
  const temperature = event.unit === "°C" ? signal : null;
  const latest = { ...state.latest, [event.channel]: { time: event.times.at(-1)!, signal, temperature } };
  return sourceWatched({ ...state, latest }, event);
};

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
  const errors = state.measuring === null ? {} : meanErrors(state.measuring);
  return {
    ...state,
    ...freshApproach,
    learnt: pointLearnt(state, event.at),
    stops: markStop(state.stops, event, { status: "measured", errors, flagged: false }),
  };
};

const faultSeen = (state: EngineState, event: RunEventOf<"fault-seen">): EngineState => ({
  ...state,
  sourceInDoubt: state.sourceInDoubt || state.ended !== null,
  check: event.code === "kit.check-failed" && state.check !== null ? { ...state.check, failed: true } : state.check,
  faults: [...state.faults, { at: event.at, code: event.code, message: event.message, item: event.item ?? null }],
});

/** A pause breaks a measurement off: the readings of a point belong to one uninterrupted window. */
const runResumed = (state: EngineState, at: number): EngineState => ({
  ...state,
  paused: null,
  onBreak: null,
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
    case "ramp-begun":
    case "ramp-stepped":
    case "contact-changed":
    case "ramp-ended":
      return state;
    case "pass-begun":
      return { ...state, begun: true, begunPasses: [...state.begunPasses, event.pass] };
    case "output-switched":
      return { ...state, output: event.on };
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
      return faultSeen(state, event);
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
  const next = followRamp(change(state, event), event);
  return next.at === event.at ? next : { ...next, at: event.at };
};

/** The state that a log leads to. Readings that were not in the log are gone, as they never were acknowledged. */
export const replay = (start: EngineState, events: readonly RunEvent[]): EngineState =>
  events.reduce(evolve, { ...start, volatile: noVolatile });
