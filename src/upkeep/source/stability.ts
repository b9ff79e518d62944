import { failure, success, type Outcome } from "#fault";
import { normalQuantile } from "#numerics";
import { expanded, type Expanded } from "../levels/expanded.ts";

/** Shortest record that says something of a source's stability, s (EURAMET cg-13, from memory). */
export const stabilityTime = 1800;

/** A record may be a reading short of it. */
const shortBy = 30;

/** Fewest readings in it: one a minute. */
const fewestReadings = 30;

export interface Stability extends Expanded {
  /** Half of the range of the readings as they are, K. */
  readonly halfRange: number;
  /** Standard deviation of the readings' noise, K. */
  readonly noise: number;
}

/** Noise of a record from the steps between neighbours: a slow movement gives all steps nearly the same, noise does not. */
const noiseOf = (values: readonly number[]): number => {
  let square = 0;
  for (let index = 2; index < values.length; index += 1)
    square += (values[index]! - 2 * values[index - 1]! + values[index - 2]!) ** 2;
  return Math.sqrt(square / (values.length - 2) / 6);
};

/**
 * Half of the range over which the source moved in half an hour or more. Noise of the thermometer widens what is read by
 * something between nothing and the half range of noise alone, s·z((n − 3/8)/(n + 1/4)): the middle of that is taken off, and
 * ± half of it stays as uncertainty, rectangular (rule K6). A failure `upkeep.incomplete` for a record that is too short.
 */
export const stabilityOf = (times: readonly number[], values: readonly number[], digit: number): Outcome<Stability> => {
  const span = times.at(-1)! - times[0]!;
  if (span < stabilityTime - shortBy || values.length < fewestReadings)
    return failure(
      "upkeep.incomplete",
      `Stability: the record is ${Math.round(span / 60)} minutes with ${values.length} readings; 30 minutes with at least ${fewestReadings} are needed. Record longer.`,
      { span, readings: values.length },
    );
  const count = values.length;
  const halfRange = (Math.max(...values) - Math.min(...values)) / 2;
  const noise = Math.max(noiseOf(values), digit / Math.sqrt(12));
  const widest = Math.min(halfRange, noise * normalQuantile((count - 0.375) / (count + 0.25)));
  // Each end of the range is one reading with its noise; two of them, halved.
  const u = Math.hypot(widest / 2 / Math.sqrt(3), noise / 2);
  return success({ ...expanded(halfRange - widest / 2, u, Number.POSITIVE_INFINITY), halfRange, noise });
};
