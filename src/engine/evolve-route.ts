import type { RunEventOf } from "#calibration";
import type { EngineState, PlannedStop } from "./state.ts";

/** A point more: in front of the point that the event names, or after the last of its pass. */
export const pointAdded = (state: EngineState, event: RunEventOf<"point-added">): EngineState => {
  const added: PlannedStop = {
    pass: event.pass,
    point: event.point,
    temperature: event.temperature,
    status: "ahead",
    reason: event.reason,
    errors: {},
    done: [],
    direction: event.direction ?? null,
    added: true,
    flagged: false,
  };
  const before = state.stops.findIndex(({ pass, point }) => pass === event.pass && point === event.before);
  const last = state.stops.findLastIndex(({ pass }) => pass === event.pass);
  return { ...state, stops: state.stops.toSpliced(before === -1 ? last + 1 : before, 0, added) };
};

/** Two points change places in the order of the run; each keeps its number. */
export const pointsSwapped = (state: EngineState, event: RunEventOf<"points-swapped">): EngineState => {
  const placeOf = (wanted: number): number =>
    state.stops.findIndex(({ pass, point }) => pass === event.pass && point === wanted);
  const [one, other] = [placeOf(event.point), placeOf(event.with)];
  if (one === -1 || other === -1) return state;
  return { ...state, stops: state.stops.with(one, state.stops[other]!).with(other, state.stops[one]!) };
};

/** What was read with the entry before is no history of the one that took its place. */
export const kitReplaced = (
  state: EngineState,
  before: EngineState,
  event: RunEventOf<"kit-replaced">,
): EngineState => {
  const gone = new Set([before.job.kit.reference.channel, state.job.kit.reference.channel]);
  const flagged = event.earlier === "flag";
  return {
    ...state,
    latest: Object.fromEntries(Object.entries(state.latest).filter(([channel]) => !gone.has(channel))),
    referencePlace: event.reference === undefined ? state.referencePlace : "source",
    stops: state.stops.map((stop) => (flagged && stop.status === "measured" ? { ...stop, flagged: true } : stop)),
    check: null,
  };
};
