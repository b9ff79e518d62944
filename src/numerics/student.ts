import { incompleteBetaPair } from "./incomplete-beta.ts";
import { gammaHalfRatio } from "./log-gamma.ts";
import { normalCdf, normalDensity, normalQuantile } from "./normal.ts";

/** From here on Student's distribution and the normal one agree to the last digit of a double. */
const asGoodAsNormal = 1e17;

interface Sides {
  /** P(T > t), t ≥ 0. */
  readonly tail: number;
  /** P(0 < T ≤ t), t ≥ 0. */
  readonly centre: number;
}

/**
 * Both parts of the upper half, each with its own precision (Abramowitz and Stegun 26.7.1 as an incomplete beta
 * function; far out, its leading term alone, because t² leaves the range of doubles before the probability does).
 */
const sides = (t: number, dof: number): Sides => {
  if (t > 1e100 * Math.sqrt(dof)) {
    const tail =
      Math.exp(dof * (0.5 * Math.log(dof) - Math.log(t))) * (gammaHalfRatio(dof / 2) / (dof * Math.sqrt(Math.PI)));
    return { tail, centre: 0.5 - tail };
  }
  const ratio = (t / dof) * t;
  const pair = incompleteBetaPair(dof / 2, 0.5, 1 / (1 + ratio), ratio / (1 + ratio));
  return { tail: 0.5 * pair.lower, centre: 0.5 * pair.upper };
};

/** Density of Student's t with real degrees of freedom `dof` > 0; infinity is the normal distribution. */
export const studentDensity = (t: number, dof: number): number => {
  if (dof >= asGoodAsNormal) return normalDensity(t);
  const scale = gammaHalfRatio(dof / 2) / Math.sqrt(dof * Math.PI);
  const size = Math.abs(t);
  const logarithm =
    size > 1e100 * Math.sqrt(dof) ? 2 * Math.log(size) - Math.log(dof) : Math.log1p((size / dof) * size);
  return scale * Math.exp(-0.5 * (dof + 1) * logarithm);
};

/**
 * Probability that Student's t with `dof` degrees of freedom is at most t. `dof` is any real number above 0, as the
 * Welch-Satterthwaite formula gives it (JCGM 100:2008, G.4.1), and may be infinite. Otherwise the answer is NaN.
 */
export const studentCdf = (t: number, dof: number): number => {
  if (dof >= asGoodAsNormal) return normalCdf(t);
  const { tail, centre } = sides(Math.abs(t), dof);
  if (t >= 0) return 0.5 + centre;
  return tail;
};

/** ln t at which the chosen part of the upper half has the probability `target`: Newton on logarithms, kept in a bracket. */
const solveUpper = (part: keyof Sides, target: number, dof: number, start: number): number => {
  const goal = Math.log(target);
  const sign = part === "tail" ? -1 : 1;
  let low = -720;
  let high = 709.7;
  let s = Math.min(Math.max(start, low), high);
  for (let round = 0; round < 200; round += 1) {
    const t = Math.exp(s);
    const probability = sides(t, dof)[part];
    const miss = sign * (Math.log(probability) - goal);
    if (miss === 0) return t;
    if (miss > 0) high = s;
    else low = s;
    const slope = (studentDensity(t, dof) * t) / probability;
    let next = s - miss / slope;
    if (!(next > low && next < high)) next = (low + high) / 2;
    const moved = Math.abs(next - s);
    s = next;
    // Newton doubles its good digits: a step this small leaves an error below rounding.
    if (moved < 1e-9) {
      const refined = Math.exp(s);
      const rest = sides(refined, dof)[part] - target;
      return refined - (sign * rest) / studentDensity(refined, dof);
    }
    if (high - low < 1e-15 * Math.abs(s)) break;
  }
  return s > 709 ? Number.POSITIVE_INFINITY : Math.exp(s);
};

/**
 * The t that Student's distribution with `dof` degrees of freedom exceeds with probability 1 − p. `dof` is any real
 * number above 0, or infinite. p = 0 and 1 give the infinities; anything else outside gives NaN. Where the quantile is
 * larger than any double (possible for dof well below 1), the answer is infinite. Relative precision about 1e-13.
 */
export const studentQuantile = (p: number, dof: number): number => {
  if (!(p >= 0 && p <= 1) || !(dof > 0)) return Number.NaN;
  if (dof >= asGoodAsNormal) return normalQuantile(p);
  if (p === 0.5) return 0;
  if (p === 0) return Number.NEGATIVE_INFINITY;
  if (p === 1) return Number.POSITIVE_INFINITY;
  const q = p < 0.5 ? p : 1 - p;
  const centre = Math.abs(p - 0.5);
  const atZero = gammaHalfRatio(dof / 2) / Math.sqrt(dof * Math.PI);
  const size =
    centre < 0.25
      ? solveUpper("centre", centre, dof, Math.log(centre / atZero))
      : solveUpper("tail", q, dof, tailStart(q, dof, atZero));
  return p < 0.5 ? -size : size;
};

/** Logarithm of a start for the tail: the normal one for many degrees of freedom, the power law of the tail for few. */
const tailStart = (q: number, dof: number, atZero: number): number => {
  if (dof > 5) return Math.log(-normalQuantile(q));
  return (Math.log(atZero / q) + 0.5 * (dof - 1) * Math.log(dof)) / dof;
};
