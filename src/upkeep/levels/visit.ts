import { success, type Outcome } from "#fault";
import { meanOfSeries } from "#uncertainty";

/** What one stay at a place came to: the mean of what was read there, at the middle of its time. */
export interface Visit {
  readonly place: string;
  /** Place of the thermometer that stays, where the two were exchanged; the same for all visits otherwise. */
  readonly against?: string | undefined;
  /** s */
  readonly time: number;
  readonly value: number;
  readonly u: number;
  readonly dof: number;
  /** Change over the visit by a straight line where it is more than chance, in the unit of the value; 0 otherwise. */
  readonly moved: number;
}

interface Line {
  readonly slope: number;
  readonly error: number;
}

const straightLine = (times: readonly number[], values: readonly number[]): Line => {
  const count = times.length;
  const middle = times.reduce((sum, time) => sum + time, 0) / count;
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  let square = 0;
  let product = 0;
  for (const [index, time] of times.entries()) {
    square += (time - middle) ** 2;
    product += (time - middle) * (values[index]! - mean);
  }
  const slope = product / square;
  let rest = 0;
  for (const [index, time] of times.entries()) rest += (values[index]! - mean - slope * (time - middle)) ** 2;
  return { slope, error: count > 2 ? Math.sqrt(rest / (count - 2) / square) : Number.POSITIVE_INFINITY };
};

/** A slope counts as seen from so many of its standard errors on; neighbours correlate, so more than the usual two. */
const seenFrom = 4;

/**
 * A visit from its readings: mean, its standard uncertainty with correlated readings accounted for, never less than that of
 * one digit, and with what
 * coming back to the place costs. Where the readings still move, the change over the visit counts as ± half of it, rectangular (rule K3).
 */
export const visitOf = (
  place: string,
  times: readonly number[],
  values: readonly number[],
  options: { readonly resolution?: number; readonly placing?: number; readonly against?: string | undefined } = {},
): Outcome<Visit> => {
  const series = meanOfSeries(values, { resolution: options.resolution ?? 0 });
  if (!series.ok) return series;
  const { mean, standardUncertainty, degreesOfFreedom } = series.value;
  const line = straightLine(times, values);
  const span = times.at(-1)! - times[0]!;
  const moved = Math.abs(line.slope) > seenFrom * line.error ? line.slope * span : 0;
  return success({
    place,
    against: options.against,
    time: (times[0]! + times.at(-1)!) / 2,
    value: mean,
    u: Math.hypot(standardUncertainty, options.placing ?? 0, moved / Math.sqrt(12)),
    dof: degreesOfFreedom,
    moved,
  });
};
