import { success, type Outcome } from "#fault";
import { decideRecorded } from "#settling";
import { meanOfSeries } from "#uncertainty";

/** What a timed series in a constant-temperature point came to, K against the point. */
export type TimedReading =
  | {
      readonly settled: true;
      /** From when on it was at rest, s of the record. */
      readonly at: number;
      readonly value: number;
      readonly u: number;
      readonly dof: number;
      /** Bound on what was still missing, K. */
      readonly remainder: number;
      readonly readings: number;
    }
  | { readonly settled: false; readonly wait: number };

/** Shortest stretch that a decision rests on, s. */
const window = 120;

/**
 * When a thermometer has come to rest in a point of constant temperature, by the same judgement as in a run: the point stands for the
 * reference (rule K17). The value is the mean of the readings of the last two minutes before rest was found and of all later ones.
 */
export const timedReading = (
  times: readonly number[],
  values: readonly number[],
  { target, resolution }: { readonly target: number; readonly resolution: number },
): Outcome<TimedReading> => {
  const decided = decideRecorded(
    { time: times, reference: times.map(() => 0), item: values },
    { target, resolution, setPoint: 0 },
  );
  if (!decided.settled) return success({ settled: false, wait: Math.max(60, decided.forecast.at - times.at(-1)!) });
  const kept = values.filter((_, index) => times[index]! >= decided.at - window);
  const series = meanOfSeries(kept, { resolution });
  if (!series.ok) return series;
  return success({
    settled: true,
    at: decided.at,
    value: series.value.mean,
    u: series.value.standardUncertainty,
    dof: series.value.degreesOfFreedom,
    remainder: decided.remainder,
    readings: kept.length,
  });
};
