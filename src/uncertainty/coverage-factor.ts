import { studentCdf, studentQuantile } from "#numerics";

/**
 * Degrees of freedom as they are used with Student's distribution: truncated to the next lower integer
 * (JCGM 100:2008, G.4.1 and G.6.4 allow truncation or interpolation; its own examples and EA-4/02 M:2022 truncate, so
 * that anybody can follow with a printed Table G.2, and the factor is never too small). Below 1 nothing can be truncated,
 * and the number stays as it is. A number that misses an integer by rounding error only is that integer.
 */
export const truncatedDegreesOfFreedom = (dof: number): number => {
  if (!(dof >= 1)) return dof;
  return Math.floor(dof * (1 + 1e-9));
};

/**
 * Coverage factor k for a two-sided interval with coverage probability `level` (JCGM 100:2008, G.6.4). `dof` above 0 or
 * infinite, `level` between 0 and 1; otherwise NaN.
 */
export const coverageFactor = (level: number, dof: number): number =>
  level > 0 && level < 1 ? studentQuantile((1 + level) / 2, truncatedDegreesOfFreedom(dof)) : Number.NaN;

/** Coverage probability of the interval ±k·u, the reverse of `coverageFactor`. */
export const coverageProbability = (k: number, dof: number): number =>
  k >= 0 ? 2 * studentCdf(k, truncatedDegreesOfFreedom(dof)) - 1 : Number.NaN;
