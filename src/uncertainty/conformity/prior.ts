import { failure, success, type Outcome } from "#fault";
import { normalQuantile } from "#numerics";
import type { Prior } from "./global-risk.ts";

export interface FittedPrior extends Prior {
  /** Standard deviation of the errors as they were observed, measurement included. */
  readonly observed: number;
  readonly observations: number;
}

const fewest = 3;

/**
 * A prior from the history of an item or of its class: the mean of the errors found, and their scatter with the part that the
 * measurement itself made taken off, sd² = s² − mean of u² (JCGM 106:2012, 7.2.2, takes the prior as given; the subtraction is
 * the one-way analysis of variance, GUM H.5). `u` is one standard uncertainty, or one for each error. Fewer than three
 * errors, or a scatter that is no larger than u alone would make it: `uncertainty.invalid`, because then the history does
 * not tell what the items are like.
 */
export const priorFrom = (errors: readonly number[], u: number | readonly number[]): Outcome<FittedPrior> => {
  const us = typeof u === "number" ? errors.map(() => u) : u;
  if (errors.length < fewest) {
    const words = `A history of ${errors.length} errors is too short for a prior; at least ${fewest} are needed.`;
    return failure("uncertainty.invalid", words, { observations: errors.length });
  }
  if (us.length !== errors.length)
    return failure("uncertainty.invalid", "Give one standard uncertainty for the history, or one for each error.");
  const sound = errors.every(Number.isFinite) && us.every((value) => value >= 0 && value < Number.POSITIVE_INFINITY);
  if (!sound)
    return failure("uncertainty.invalid", "The errors of a history must be finite, their u finite and 0 or more.");
  const count = errors.length;
  const mean = errors.reduce((sum, error) => sum + error, 0) / count;
  const variance = errors.reduce((sum, error) => sum + (error - mean) ** 2, 0) / (count - 1);
  const own = us.reduce((sum, value) => sum + value * value, 0) / count;
  if (!Number.isFinite(variance + own)) return failure("uncertainty.invalid", "The history is too large for a number.");
  if (!(variance > own)) {
    const words =
      "The errors of the history scatter no more than their measurement uncertainty makes them; what the items themselves are like cannot be told from it.";
    return failure("uncertainty.invalid", words, { observed: Math.sqrt(variance), u: Math.sqrt(own) });
  }
  return success({ mean, sd: Math.sqrt(variance - own), observed: Math.sqrt(variance), observations: count });
};

/**
 * A prior from an end-of-period reliability: the share `reliability` of items that are *found* within ±`limit`, about 0. The
 * observed errors are normal with s = limit/z_((1+R)/2), and the true ones have sd² = s² − u² (common practice of
 * calibration intervals, no source). A u that alone would make the items less reliable: `uncertainty.invalid`.
 */
export const priorFromReliability = (limit: number, reliability: number, u: number): Outcome<Prior> => {
  const sound =
    limit > 0 && Number.isFinite(limit) && u >= 0 && Number.isFinite(u) && reliability > 0 && reliability < 1;
  if (!sound) {
    const words = "A prior from reliability needs a limit above 0, a reliability between 0 and 1, and u of 0 or more.";
    return failure("uncertainty.invalid", words, { limit, reliability, u });
  }
  const observed = limit / normalQuantile((1 + reliability) / 2);
  if (!(observed > u)) {
    const words = `With u = ${u} no population can be found within ±${limit} as often as ${reliability}; check reliability and u.`;
    return failure("uncertainty.invalid", words, { limit, reliability, u });
  }
  return success({ mean: 0, sd: Math.sqrt((observed - u) * (observed + u)) });
};
