import { findRoot, incompleteBeta } from "#numerics";

/** How often an item was found good, with the interval that so few sights allow. */
export interface Reliability {
  readonly good: number;
  readonly of: number;
  readonly interval: readonly [number, number];
}

/**
 * The interval of Clopper and Pearson for a share of which `good` of `of` were seen (C. J. Clopper, E. S. Pearson, Biometrika 26
 * (1934), 404-413): it covers in at least `level` of all cases, however few were seen.
 */
export const clopperPearson = (good: number, of: number, level: number): readonly [number, number] => {
  const tail = (1 - level) / 2;
  const quantile = (p: number, a: number, b: number): number =>
    findRoot((x) => incompleteBeta(x, a, b) - p, 0, 1) ?? Number.NaN;
  return [
    good === 0 ? 0 : quantile(tail, good, of - good + 1),
    good === of ? 1 : quantile(1 - tail, good + 1, of - good),
  ];
};

/** An interval scaled so that a constant rate of failure meets a target: I·ln R_target/ln R (exponential reliability). */
export const scaledInterval = (months: number, reliability: number, target: number): number =>
  (months * Math.log(target)) / Math.log(reliability);
