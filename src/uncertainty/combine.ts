import { failure, success, type Outcome } from "#fault";
import { checkedBudget, type CheckedBudget } from "./checked-budget.ts";
import { usualLevel, type Budget, type CombinedBudget } from "./budget.ts";
import { coverageFactor, coverageProbability } from "./coverage-factor.ts";

/** Lines that hang together by correlation, as sets of indices (connected parts of the graph of non-zero r). */
const ensembles = (correlation: CheckedBudget["correlation"], size: number): number[][] => {
  const seen = new Set<number>();
  const parts: number[][] = [];
  for (let start = 0; start < size; start += 1) {
    if (seen.has(start)) continue;
    seen.add(start);
    const part = [start];
    for (let next = 0; next < part.length; next += 1) {
      for (let other = 0; other < size; other += 1) {
        if (seen.has(other) || correlation === undefined || correlation[part[next]!]![other] === 0) continue;
        seen.add(other);
        part.push(other);
      }
    }
    parts.push(part);
  }
  return parts;
};

/** Variance of the sum of signed contributions `part` (JCGM 100:2008, equation 16). */
const varianceOf = (
  part: readonly number[],
  signed: readonly number[],
  correlation: CheckedBudget["correlation"],
): number => {
  let variance = 0;
  for (const row of part) {
    if (correlation === undefined) variance += signed[row]! ** 2;
    else for (const column of part) variance += signed[row]! * signed[column]! * correlation[row]![column]!;
  }
  return Math.max(variance, 0);
};

/**
 * Effective degrees of freedom, ν = u⁴ / Σ uᵢ⁴/νᵢ (JCGM 100:2008, equation G.2b). The formula holds for independent
 * terms; lines that are correlated with each other count as one term: the variance of those among them with finite
 * degrees of freedom, with the fewest of these (the cautious reading).
 */
const effectiveDegreesOfFreedom = (
  variance: number,
  signed: readonly number[],
  dofs: readonly number[],
  correlation: CheckedBudget["correlation"],
): number => {
  let rest = 0;
  for (const part of ensembles(correlation, signed.length)) {
    const finite = part.filter((index) => dofs[index]! < Number.POSITIVE_INFINITY);
    if (finite.length === 0) continue;
    const fewest = finite.reduce((least, index) => Math.min(least, dofs[index]!), Number.POSITIVE_INFINITY);
    rest += (varianceOf(finite, signed, correlation) / variance) ** 2 / fewest;
  }
  return rest > 0 ? 1 / rest : Number.POSITIVE_INFINITY;
};

/**
 * Combines a budget by the law of propagation of uncertainty with its declared correlations (JCGM 100:2008, equations 10
 * and 16), finds the effective degrees of freedom (Welch-Satterthwaite) and expands with the coverage factor of Student's
 * distribution at the level asked for. Units are the caller's: each sensitivity turns a line's unit into the result's.
 *
 * What cannot be combined is a failure `uncertainty.invalid` that names the line: no lines, a number that is not finite,
 * a negative u, degrees of freedom that are not above 0, |r| > 1, a correlation with an unknown or doubly used name,
 * correlations that cannot hold together, a level outside 0 to 1, a result too large for a number.
 */
export const combine = (budget: Budget): Outcome<CombinedBudget> => {
  const checked = checkedBudget(budget);
  if (!checked.ok) return checked;
  const { lines, correlation } = checked.value;
  // Scaled by the largest contribution, so that squares neither overflow nor vanish.
  const largest = lines.reduce((most, line) => Math.max(most, Math.abs(line.sensitivity * line.u)), 0);
  const scale = largest > 0 ? largest : 1;
  const signed = lines.map((line) => (line.sensitivity * line.u) / scale);
  const all = lines.map((_, index) => index);
  const variance = varianceOf(all, signed, correlation);
  const u = scale * Math.sqrt(variance);
  const dof =
    variance > 0
      ? effectiveDegreesOfFreedom(
          variance,
          signed,
          lines.map((line) => line.dof),
          correlation,
        )
      : Number.POSITIVE_INFINITY;
  const level = budget.k === undefined ? (budget.level ?? usualLevel) : coverageProbability(budget.k, dof);
  const k = budget.k ?? coverageFactor(level, dof);
  const value = lines.reduce((sum, line) => sum + line.sensitivity * line.value, 0);
  if (!Number.isFinite(value) || !Number.isFinite(u) || !Number.isFinite(k * u)) {
    return failure(
      "uncertainty.invalid",
      "The combined value or uncertainty is too large for a number; check the units of the lines.",
    );
  }
  const share = (row: number): number => {
    if (variance === 0) return 0;
    const own = signed[row]!;
    if (correlation === undefined) return (own * own) / variance;
    return all.reduce((sum, column) => sum + own * signed[column]! * correlation[row]![column]!, 0) / variance;
  };
  return success({
    value,
    u,
    dof,
    k,
    U: k * u,
    level,
    lines: lines.map((line, index) => ({
      ...line,
      contribution: Math.abs(line.sensitivity * line.u),
      share: share(index),
    })),
  });
};
