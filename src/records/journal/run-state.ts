import type { RunEvent } from "#calibration";

/** What lists show of a run while and after it goes on. */
export interface RunState {
  /** Stops that are measured and were not opened again or skipped since, as `pass/point`. */
  readonly measured: ReadonlySet<string>;
  readonly paused: boolean;
  readonly outcome: "completed" | "stopped" | "failed" | null;
}

export const openedState: RunState = { measured: new Set(), paused: false, outcome: null };

/** Kinds of events that change the state; the index `run_events_that_move` holds all but the ramps of switches. */
export const movingKinds = [
  "ramp-ended",
  "point-measured",
  "point-repeated",
  "point-skipped",
  "run-paused",
  "run-resumed",
  "run-ended",
] as const;

/** The state after an event. */
export const advanceState = (state: RunState, event: RunEvent): RunState => {
  switch (event.kind) {
    case "point-measured":
      return { ...state, measured: new Set([...state.measured, `${event.pass}/${event.point}`]) };
    // A ramp on which every switch changed is a stop that is measured.
    case "ramp-ended":
      return event.unchanged.length > 0
        ? state
        : { ...state, measured: new Set([...state.measured, `${event.pass}/${event.point}`]) };
    case "point-repeated":
    case "point-skipped": {
      const stop = `${event.pass}/${event.point}`;
      return { ...state, measured: new Set([...state.measured].filter((each) => each !== stop)) };
    }
    case "run-paused":
      return { ...state, paused: true };
    case "run-resumed":
      return { ...state, paused: false };
    case "run-ended":
      return { ...state, paused: false, outcome: event.outcome };
    default:
      return state;
  }
};
