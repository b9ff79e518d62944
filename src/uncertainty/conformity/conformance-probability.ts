import { failure, success, type Outcome } from "#fault";
import { studentCdf } from "#numerics";
import { limitsFault, within, type Limits } from "./limits.ts";

/**
 * Probability that the true value lies within the limits, given the estimate and its standard uncertainty alone
 * (JCGM 106:2012, 7.4 and equation 5). With finite degrees of freedom Student's distribution takes the place of the
 * normal one (JCGM 101:2008, 6.4.9). u = 0: 1 within, 0 beyond.
 */
export const conformanceProbability = (
  value: number,
  u: number,
  limits: Limits,
  dof = Number.POSITIVE_INFINITY,
): Outcome<number> => {
  const fault = limitsFault(limits);
  if (fault !== undefined) return fault;
  if (!Number.isFinite(value)) return failure("uncertainty.invalid", "The value to be judged is not a finite number.");
  if (!(u >= 0 && u < Number.POSITIVE_INFINITY))
    return failure("uncertainty.invalid", "The standard uncertainty must be a finite number, 0 or more.");
  if (!(dof > 0)) return failure("uncertainty.invalid", "The degrees of freedom must be above 0.");
  if (u === 0) return success(within(value, limits) ? 1 : 0);
  // Both tails are taken as lower tails, where the distribution function keeps its precision.
  const below = limits.lower === undefined ? 0 : studentCdf((limits.lower - value) / u, dof);
  const above = limits.upper === undefined ? 0 : studentCdf((value - limits.upper) / u, dof);
  return success(Math.min(1, Math.max(0, 1 - below - above)));
};

/** Number of sorted values that are below `limit`, and with `orAt` those at it too. */
const countBelow = (sorted: Float64Array, limit: number, orAt: boolean): number => {
  let [low, high] = [0, sorted.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sorted[middle]! < limit || (orAt && sorted[middle] === limit)) low = middle + 1;
    else high = middle;
  }
  return low;
};

/**
 * The conformance probability when the distribution of the quantity is known by trials of a Monte Carlo simulation, in
 * rising order: the share of them within the limits (JCGM 106:2012, 7.2, with JCGM 101:2008, 7.5).
 */
export const conformanceOfTrials = (sorted: Float64Array, limits: Limits): Outcome<number> => {
  const fault = limitsFault(limits);
  if (fault !== undefined) return fault;
  if (sorted.length === 0) return failure("uncertainty.invalid", "There are no trials to judge by.");
  const below = limits.lower === undefined ? 0 : countBelow(sorted, limits.lower, false);
  const inside = limits.upper === undefined ? sorted.length : countBelow(sorted, limits.upper, true);
  return success(Math.max(0, inside - below) / sorted.length);
};
