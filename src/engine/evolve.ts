import { createSettling, defaultSettling, observe, type SettlingState } from "#settling";
import { extendTrack } from "#diagnosis";
import type { Item, Job, RunEvent, RunEventOf } from "#calibration";
import { settlingTarget } from "./settling-target.ts";
import {
  currentStop,
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

const freshSettling = (job: Job, temperature: number): Record<string, SettlingState> =>
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
      }),
    ]),
  );

/** Nothing is known yet of the approach to the present point. */
const freshApproach = { settled: {}, tracks: {}, measuring: null, reference: { times: [], temperatures: [] } } as const;

const setPointCommanded = (state: EngineState, event: RunEventOf<"set-point-commanded">): EngineState => ({
  ...state,
  ...freshApproach,
  stops: markStop(
    state.stops.map((stop) => (stop.status === "current" ? { ...stop, status: "ahead" as StopStatus } : stop)),
    event,
    { status: "current", reason: null },
  ),
  setPoint: { temperature: event.temperature, at: event.at },
  settling: freshSettling(state.job, event.temperature),
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
  const times: number[] = [...state.reference.times];
  const temperatures: number[] = [...state.reference.temperatures];
  let last: number | null = null;
  event.values.forEach((value, index) => {
    const converted = state.converter.reference(value);
    last = converted.ok ? converted.value : null;
    if (!converted.ok) return;
    times.push(event.times[index]!);
    temperatures.push(converted.value);
  });
  const keep = 60;
  const latest = { time: event.times.at(-1)!, signal: event.values.at(-1)!, temperature: last };
  return {
    ...state,
    reference: { times: times.slice(-keep), temperatures: temperatures.slice(-keep) },
    latest: { ...state.latest, [event.channel]: latest },
  };
};

const countReading = (measuring: Measuring, item: string, time: number, difference: number): Measuring =>
  time <= measuring.from
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
  event.values.forEach((signal, index) => {
    const time = event.times[index]!;
    const converted = state.converter.item(item.id, signal, junction);
    temperature = converted.ok ? converted.value : null;
    const reference = referenceAt(state.reference, time);
    if (!converted.ok || reference === null) return;
    track = extendTrack(track, { time, reference, item: converted.value, signal });
    if (settling !== undefined) settling = observe(settling, { time, reference, item: converted.value });
    if (measuring !== null) measuring = countReading(measuring, item.id, time, converted.value - reference);
  });
  return {
    ...state,
    measuring,
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
  const signal = event.values.at(-1)!;
  const temperature = event.unit === "°C" ? signal : null;
  return { ...state, latest: { ...state.latest, [event.channel]: { time: event.times.at(-1)!, signal, temperature } } };
};

const pointSettled = (state: EngineState, event: RunEventOf<"point-settled">): EngineState => {
  const settled = { ...state.settled, [event.item]: event.evidence };
  const all = state.job.items.every((item) => settled[item.id] !== undefined);
  return { ...state, settled, measuring: all ? { from: event.at, counts: {}, sums: {}, firsts: {}, lasts: {} } : null };
};

const pointMeasured = (state: EngineState, event: RunEventOf<"point-measured">): EngineState => {
  const { measuring } = state;
  const errors = Object.fromEntries(
    Object.entries(measuring?.counts ?? {}).map(([item, count]) => [item, measuring!.sums[item]! / count]),
  );
  return { ...state, ...freshApproach, stops: markStop(state.stops, event, { status: "measured", errors }) };
};

const faultSeen = (state: EngineState, event: RunEventOf<"fault-seen">): EngineState => ({
  ...state,
  sourceInDoubt: state.sourceInDoubt || state.ended !== null,
  faults: [...state.faults, { at: event.at, code: event.code, message: event.message, item: event.item ?? null }],
});

/** A pause breaks a measurement off: the readings of a point belong to one uninterrupted window. */
const runResumed = (state: EngineState, at: number): EngineState => ({
  ...state,
  paused: null,
  measuring: state.measuring === null ? null : { from: at, counts: {}, sums: {}, firsts: {}, lasts: {} },
});

const change = (state: EngineState, event: RunEvent): EngineState => {
  switch (event.kind) {
    case "run-opened":
    case "note-added":
    case "reading-rejected":
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
      return { ...state, stops: markStop(state.stops, event, { status: "ahead", reason: event.reason, errors: {} }) };
    case "fault-seen":
      return faultSeen(state, event);
    case "item-adjusted":
      return { ...state, adjusted: [...state.adjusted, event.item], adjustmentDecided: true };
    case "run-paused": {
      const latest = state.faults.at(-1);
      return {
        ...state,
        paused: {
          at: event.at,
          reason: event.reason,
          by: event.by,
          faulty: latest !== undefined && latest.at === event.at,
        },
      };
    }
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
  const next = change(state, event);
  return next.at === event.at ? next : { ...next, at: event.at };
};

/** The state that a log leads to. Readings that were not in the log are gone, as they never were acknowledged. */
export const replay = (start: EngineState, events: readonly RunEvent[]): EngineState =>
  events.reduce(evolve, { ...start, volatile: noVolatile });
