import { expectedChanges, isClosed, isSwitch, observeContact, watchContact, type RunEvent } from "#calibration";
import { nearEnough } from "../near-enough.ts";
import { currentStop, type EngineState, type ReferenceStretch } from "../state.ts";
import { plannedSweep, type RampProgress } from "./ramp-state.ts";

/** The reference's last stretch over which its slope is taken, s. */
const slopeWindow = 60;

/** Slope of the last minute, K/min; null while there is less than two thirds of it. */
export const slopeOf = ({ times, temperatures }: ReferenceStretch): number | null => {
  const last = times.at(-1);
  if (last === undefined) return null;
  const first = times.findIndex((time) => time >= last - slopeWindow);
  const [t, y] = [times.slice(first), temperatures.slice(first)];
  if (t.length < 3 || last - t[0]! < (2 / 3) * slopeWindow) return null;
  const [middle, mean] = [t, y].map((values) => values.reduce((sum, value) => sum + value, 0) / values.length);
  const square = t.reduce((sum, time) => sum + (time - middle!) ** 2, 0);
  return (60 * t.reduce((sum, time, index) => sum + (time - middle!) * (y[index]! - mean!), 0)) / square;
};

/** Whether the source holds: near its set point, and slower than half of the ramp to come. */
const rests = (state: EngineState, rate: number): boolean => {
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  const slope = slopeOf(state.reference);
  if (reference === null || slope === null || state.setPoint === null) return false;
  const near = Math.abs(reference - state.setPoint.temperature) <= nearEnough(state.setPoint.temperature);
  return near && Math.abs(slope) <= Math.max(0.05, 0.5 * rate);
};

const approached = (
  state: EngineState,
  event: Extract<RunEvent, { kind: "set-point-commanded" }>,
): RampProgress | null => {
  const sweep = plannedSweep(state.job, event.point);
  if (sweep === undefined) return null;
  const phase = event.temperature === sweep.from ? "approach" : "reset";
  const before = state.ramp;
  const same = before?.direction === sweep.direction && before.phase !== "ended" ? before.resets : 0;
  return {
    ...sweep,
    phase,
    resets: phase === "reset" ? same + 1 : same,
    restedSince: null,
    begunAt: null,
    setPoint: null,
    atEndSince: null,
    watches: {},
    changed: {},
    broken: false,
  };
};

const begun = (
  state: EngineState,
  ramp: RampProgress,
  event: Extract<RunEvent, { kind: "ramp-begun" }>,
): RampProgress => ({
  ...ramp,
  phase: "ramp",
  to: event.to,
  begunAt: event.at,
  setPoint: { temperature: event.from, at: event.at },
  watches: Object.fromEntries(
    state.job.items
      .filter(isSwitch)
      .map((item) => [item.id, watchContact(!expectedChanges(item)[ramp.direction].closed)]),
  ),
});

const contactRead = (
  state: EngineState,
  ramp: RampProgress,
  event: Extract<RunEvent, { kind: "readings-taken" }>,
): RampProgress => {
  const item = state.job.items.find(({ channel }) => channel === event.channel);
  const watch = item === undefined ? undefined : ramp.watches[item.id];
  if (item === undefined || watch === undefined || ramp.phase !== "ramp") return ramp;
  const hold = state.job.procedure.ramp?.hold ?? 0;
  const next = event.values.reduce(
    (each, value, index) => observeContact(each, event.times[index]!, isClosed(value), hold),
    watch,
  );
  return { ...ramp, watches: { ...ramp.watches, [item.id]: next } };
};

const read = (
  state: EngineState,
  ramp: RampProgress,
  event: Extract<RunEvent, { kind: "readings-taken" }>,
): RampProgress => {
  if (event.channel !== state.job.kit.reference.channel) return contactRead(state, ramp, event);
  if (ramp.phase !== "approach" && ramp.phase !== "reset") return ramp;
  const since = rests(state, ramp.rate) ? (ramp.restedSince ?? event.times.at(-1)!) : null;
  return since === ramp.restedSince ? ramp : { ...ramp, restedSince: since };
};

/** Where the reference stood at a moment of the ramp, for the screen; the evaluation asks the log itself. */
const referenceAt = ({ times, temperatures }: ReferenceStretch, time: number): number | null => {
  const after = times.findIndex((each) => each >= time);
  return temperatures[after === -1 ? times.length - 1 : after] ?? null;
};

const stepped = (ramp: RampProgress, temperature: number, at: number): RampProgress => ({
  ...ramp,
  setPoint: { temperature, at },
  atEndSince: temperature === ramp.to ? at : null,
});

const follow = (state: EngineState, ramp: RampProgress, event: RunEvent): RampProgress | null => {
  switch (event.kind) {
    case "readings-taken":
      return read(state, ramp, event);
    case "ramp-begun":
      return begun(state, ramp, event);
    case "ramp-stepped":
      return stepped(ramp, event.temperature, event.at);
    case "contact-changed": {
      const temperature = referenceAt(state.reference, (event.from + event.to) / 2);
      return { ...ramp, changed: { ...ramp.changed, [event.item]: { closed: event.closed, temperature } } };
    }
    case "run-resumed":
      return { ...ramp, broken: true, resets: 0 };
    case "ramp-ended":
      return event.unchanged.length === 0 ? null : { ...ramp, phase: "ended" };
    default:
      return ramp;
  }
};

/** A ramp on which every switch changed is a stop that is measured; one on which some did not stays for a person to decide. */
const withStop = (state: EngineState, event: RunEvent): EngineState => {
  if (event.kind !== "ramp-ended" || event.unchanged.length > 0) return state;
  const stops = state.stops.map((stop) =>
    stop.pass === event.pass && stop.point === event.point ? { ...stop, status: "measured" as const } : stop,
  );
  return { ...state, stops };
};

/** Folds one event of the log into what is known of the ramp, after the rest of the state has taken it in. */
export const followRamp = (before: EngineState, event: RunEvent): EngineState => {
  const state = withStop(before, event);
  if (event.kind === "set-point-commanded") return { ...state, ramp: approached(state, event) };
  if (state.ramp === null) return state;
  const ramp = currentStop(state) === undefined ? null : follow(state, state.ramp, event);
  return ramp === state.ramp ? state : { ...state, ramp };
};
