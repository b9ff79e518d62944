import { createSettling, defaultSettling, observe } from "#settling";
import type { Job, RunEventOf } from "#calibration";
import type { EngineState } from "./state.ts";
import type { CheckState } from "./state-check.ts";
import { wayTo } from "./way.ts";

/** The check is to be steady to this share of its limit. */
const shareOfLimit = 0.25;

const freshSettling = (job: Job, temperature: number): CheckState["settling"] =>
  createSettling({
    ...defaultSettling,
    minimumWindow: job.procedure.settling.minimumWindow,
    longestWindow: Math.max(defaultSettling.longestWindow, job.procedure.settling.minimumWindow),
    target: shareOfLimit * (job.procedure.closingCheck?.limit ?? 1),
    setPoint: temperature,
  });

export const checkBegun = (state: EngineState, event: RunEventOf<"check-begun">): EngineState => ({
  ...state,
  setPoint: { temperature: event.temperature, at: event.at },
  // An ice point needs no heat: the source is off, and has no way to go.
  way: state.job.procedure.closingCheck?.kind === "ice-point" ? null : wayTo(state, event.temperature, event.at),
  check: {
    temperature: event.temperature,
    begunAt: event.at,
    placedAt: null,
    settling: freshSettling(state.job, event.temperature),
    settledAt: null,
    count: 0,
    first: null,
    last: null,
    measured: false,
    failed: false,
  },
});

export const referencePlaced = (state: EngineState, event: RunEventOf<"reference-placed">): EngineState => ({
  ...state,
  referencePlace: event.where,
  reference: { times: [], temperatures: [] },
  check:
    state.check === null || event.where === "source"
      ? state.check
      : {
          ...state.check,
          placedAt: event.at,
          settling: freshSettling(state.job, state.check.temperature),
          settledAt: null,
          count: 0,
          first: null,
          last: null,
        },
});

/** After this a check counts its readings anew: what was read before a pause belongs to no window. */
export const checkInterrupted = (check: CheckState | null): CheckState | null =>
  check === null ? null : { ...check, count: 0, first: null, last: null };

interface CheckReading {
  readonly time: number;
  readonly reference: number;
  readonly standard: number;
}

/** One comparison of the reference with what it should read. */
export const checkRead = (check: CheckState, { time, reference, standard }: CheckReading): CheckState => {
  if (check.placedAt === null || time <= check.placedAt || check.measured) return check;
  if (check.settledAt === null)
    return { ...check, settling: observe(check.settling, { time, reference: standard, item: reference }) };
  if (time <= check.settledAt) return check;
  return { ...check, count: check.count + 1, first: check.first ?? time, last: time };
};
