import type { Place, Spread } from "../hypotheses/signal-model.ts";
import type { Matrix } from "./triangular.ts";

/** What was measured, as the hypotheses are weighed against it: the points of one item, or of several one after the other. */
export interface Problem {
  readonly places: readonly Place[];
  /** In the unit of each place's own item. */
  readonly signals: readonly number[];
  /** Of the measured errors, K². */
  readonly covariance: Matrix;
  /** ± limits of an ordinary error at each place, K. */
  readonly ordinary: readonly number[];
  /** Least standard deviation of a signal, in its unit: its last digit and what the readout adds. */
  readonly floors: readonly number[];
  /** Mean logarithm of scatter over ordinary error; null where no scatter is known. */
  readonly scatter: number | null;
  /** Whether no reading ever differed from another to the last digit, within any point; null where that is not known. */
  readonly still: boolean | null;
}

/**
 * Shares of an ordinary error of calibration, in units of the ± limits: common offset, slope and bend over the points, and what
 * each point has for itself. Together 0.61 of the limits at the ends: nine in ten such items keep them. Ours.
 */
const shares = { offset: 0.45, slope: 0.35, bend: 0.2, own: 0.12 } as const;
/** Of an error that has no shape that we know. */
const wildShares = { offset: 1, slope: 1, bend: 0.7, own: 0.7 } as const;
/** Half a span of points shorter than this is taken to be this long, K: neighbouring points err alike. */
const leastHalfSpan = 50;

export interface Course {
  readonly middle: number;
  readonly half: number;
}

export const courseOf = (places: readonly Place[]): Course => {
  const temperatures = places.map(({ reference }) => reference);
  const [low, high] = [Math.min(...temperatures), Math.max(...temperatures)];
  return { middle: (low + high) / 2, half: Math.max(leastHalfSpan, (high - low) / 2) };
};

const bend = (x: number): number => (3 * x * x - 1) / 2;

/** Covariance of two ordinary errors, in units of the product of their limits. */
export const kinship = (course: Course, one: number, other: number, same: boolean, { scale, wild }: Spread): number => {
  const { offset, slope, bend: bending, own } = wild ? wildShares : shares;
  const [x, y] = [(one - course.middle) / course.half, (other - course.middle) / course.half];
  const common = offset ** 2 + slope ** 2 * x * y + bending ** 2 * bend(x) * bend(y);
  return scale ** 2 * (common + (same ? own ** 2 : 0));
};
