import { normalQuantile } from "#numerics";

const halfRange = (values: Float64Array): number => {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return (most - least) / 2;
};

/** Standard deviation of the noise, from the steps between neighbours: a slow movement gives all steps the same, noise does not. */
const noiseOf = (values: Float64Array): number => {
  const steps = values.length - 1;
  const mean = (values[steps]! - values[0]!) / steps;
  let square = 0;
  for (let index = 1; index <= steps; index += 1) square += (values[index]! - values[index - 1]! - mean) ** 2;
  return steps > 1 ? Math.sqrt(square / (steps - 1) / 2) : 0;
};

/**
 * Half of the range over which a series moved, without what its noise alone would have spread. The half range of n noisy
 * readings of one value is about z((n − 3/8)/(n + 1/4)) standard deviations (G. Blom's approximation of normal order
 * statistics, 1958, from memory); it is taken off as a square. At least two values.
 */
export const movement = (values: Float64Array): number => {
  const count = values.length;
  const spread = normalQuantile((count - 0.375) / (count + 0.25)) * noiseOf(values);
  return Math.sqrt(Math.max(halfRange(values) ** 2 - spread ** 2, 0));
};
