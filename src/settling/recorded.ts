import { forecastOf } from "./forecast.ts";
import { observe } from "./observe.ts";
import { defaultSettling, type SettlingOptions } from "./options.ts";
import { createSettling } from "./state.ts";

/** An approach that was recorded: columns of equal length; a missing value is null. */
export interface RecordedApproach {
  /** s, never falling. */
  readonly time: readonly number[];
  /** °C */
  readonly reference: readonly (number | null)[];
  readonly item: readonly (number | null)[];
}

/** What a watcher of a recorded approach would have decided, and when. Times are those of the record. */
export type Decided =
  | {
      readonly settled: true;
      readonly at: number;
      /** Steady item − reference, its expanded uncertainty (95 %), and what was still missing of it, K. */
      readonly estimate: number;
      readonly U: number;
      readonly remainder: number;
      /** Time constant of a slow tail, where one leaves no doubt, s. */
      readonly slowTail: number | null;
    }
  | {
      readonly settled: false;
      readonly forecast: { readonly at: number; readonly interval: readonly [number, number] };
    };

/** Where nothing is known yet: this much longer, and no longer than that, s (common practice, no source). */
const usualWait = 900;
const longestWait = 7200;

/**
 * Reads a recorded approach as if live, one reading after the other, with the same code as a run; what comes after the
 * decision is not looked at. Where it is never ready, the forecast is the one of the last reading.
 */
export const decideRecorded = (
  { time, reference, item }: RecordedApproach,
  asked: Pick<SettlingOptions, "target"> & Partial<SettlingOptions>,
): Decided => {
  let state = createSettling({ ...defaultSettling, reports: "estimate", ...asked });
  for (const [index, at] of time.entries()) {
    const [one, other] = [reference[index], item[index]];
    if (one == null || other == null) continue;
    state = observe(state, { time: at, reference: one, item: other });
    if (!state.ready || state.latest === null) continue;
    const { estimate, U, remainder, slowTail } = state.latest;
    return { settled: true, at, estimate, U, remainder, slowTail: slowTail?.timeConstant ?? null };
  }
  const forecast = forecastOf(state);
  const now = time.at(-1) ?? 0;
  const [at, from, to] =
    forecast === null ? [now + usualWait, now, now + longestWait] : [forecast.at, forecast.from, forecast.to];
  return { settled: false, forecast: { at: Math.max(now, at), interval: [Math.max(now, from), Math.max(now, to)] } };
};
