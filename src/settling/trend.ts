import type { Block } from "./block.ts";

/** A straight line through block means of the difference, with what a cycling reference does to it taken out. */
export interface Trend {
  readonly from: number;
  readonly to: number;
  /** Level at the middle of the window, K. */
  readonly level: number;
  readonly levelStandardError: number;
  /** K/s */
  readonly slope: number;
  readonly slopeStandardError: number;
  /** Lag-1 autocorrelation of the residuals, 0 or more. */
  readonly autocorrelation: number;
  /** Amplitude of what was taken out, K: a reading taken at one moment of a cycle is off by so much. */
  readonly swing: number;
  readonly blocks: number;
  /** How far the slope is more than chance: b²/(b² + s_b²). */
  readonly weight: number;
  /** The block means with that taken out. */
  readonly corrected: readonly { readonly time: number; readonly difference: number }[];
}

const movement = (blocks: readonly Block[], index: number): number => {
  const before = blocks[Math.max(0, index - 1)]!;
  const after = blocks[Math.min(blocks.length - 1, index + 1)]!;
  return after.time > before.time ? (after.reference - before.reference) / (after.time - before.time) : 0;
};

const lagOne = (residuals: readonly number[]): number => {
  let products = 0;
  let squares = 0;
  for (let index = 0; index < residuals.length; index += 1) {
    squares += residuals[index]! ** 2;
    if (index > 0) products += residuals[index]! * residuals[index - 1]!;
  }
  // The sample value is biased low by about 1/n in short series; add that back so that noise is not thought whiter than it is.
  return squares > 0 ? Math.min(0.95, Math.max(0, products / squares + 1 / residuals.length)) : 0;
};

interface Line {
  readonly level: number;
  readonly slope: number;
  readonly timesSquared: number;
  readonly sumOfSquares: number;
  readonly residuals: readonly number[];
}

const fitLine = (times: readonly number[], values: readonly number[]): Line => {
  const n = times.length;
  const middle = times.reduce((sum, time) => sum + time, 0) / n;
  const level = values.reduce((sum, value) => sum + value, 0) / n;
  let timesSquared = 0;
  let cross = 0;
  for (let index = 0; index < n; index += 1) {
    timesSquared += (times[index]! - middle) ** 2;
    cross += (times[index]! - middle) * (values[index]! - level);
  }
  const slope = timesSquared > 0 ? cross / timesSquared : 0;
  const residuals = values.map((value, index) => value - level - slope * (times[index]! - middle));
  return { level, slope, timesSquared, residuals, sumOfSquares: residuals.reduce((sum, r) => sum + r * r, 0) };
};

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, value, index) => sum + value * b[index]!, 0);

/** How often a series crosses zero. */
const crossings = (values: readonly number[]): number =>
  values.reduce((count, value, index) => (index > 0 && value * values[index - 1]! < 0 ? count + 1 : count), 0);

/** A reference that swings across its own trend at least so often in a window cycles; it does not merely bend. */
const crossingsOfACycle = 3;
const fewestForCycle = 12;

/**
 * What a swinging reference does to the difference: any linear response to a swing of one period is a sum of the swing and
 * of its rate of change, so both are fitted to the residuals. Null where the reference does not cycle.
 */
const swingOf = (blocks: readonly Block[], times: readonly number[], difference: Line): readonly number[] | null => {
  if (blocks.length < fewestForCycle) return null;
  const swing = fitLine(
    times,
    blocks.map(({ reference }) => reference),
  ).residuals;
  const rate = fitLine(
    times,
    blocks.map((_, index) => movement(blocks, index)),
  ).residuals;
  const rateOnly = (): readonly number[] => {
    const squares = dot(rate, rate);
    const lag = squares > 0 ? dot(rate, difference.residuals) / squares : 0;
    return rate.map((value) => lag * value);
  };
  if (crossings(swing) < crossingsOfACycle) return rateOnly();
  const [ss, rr, sr] = [dot(swing, swing), dot(rate, rate), dot(swing, rate)];
  const determinant = ss * rr - sr * sr;
  if (!(determinant > 1e-6 * ss * rr)) return rateOnly();
  const [sd, rd] = [dot(swing, difference.residuals), dot(rate, difference.residuals)];
  const [bySwing, byRate] = [(sd * rr - rd * sr) / determinant, (rd * ss - sd * sr) / determinant];
  return swing.map((value, index) => bySwing * value + byRate * rate[index]!);
};

/** A correction is taken only where it leaves less than this share of the scatter; chance alone does not do that. */
const worthTaking = 0.5;

/**
 * Trend of the difference over some blocks. Where the reference cycles, what that does to the difference is taken out if
 * it explains most of the scatter, at the cost of two degrees of freedom. Autocorrelation widens the standard errors by
 * √((1+ρ)/(1−ρ)).
 */
export const trendOf = (blocks: readonly Block[]): Trend => {
  const times = blocks.map((block) => block.time);
  const values = blocks.map((block) => block.difference);
  const n = blocks.length;
  let line = fitLine(times, values);
  let parameters = 2;
  let swing = 0;
  let kept = values;
  const removed = swingOf(blocks, times, line);
  if (removed !== null) {
    const without = values.map((value, index) => value - removed[index]!);
    const corrected = fitLine(times, without);
    if (corrected.sumOfSquares < worthTaking * line.sumOfSquares) {
      line = corrected;
      kept = without;
      parameters = 4;
      swing = Math.sqrt((2 * dot(removed, removed)) / n);
    }
  }
  const rho = lagOne(line.residuals);
  const variance = n > parameters ? line.sumOfSquares / (n - parameters) : Number.POSITIVE_INFINITY;
  const inflated = (variance * (1 + rho)) / (1 - rho);
  const slopeStandardError = line.timesSquared > 0 ? Math.sqrt(inflated / line.timesSquared) : Number.POSITIVE_INFINITY;
  return {
    from: times[0]!,
    to: times[n - 1]!,
    level: line.level,
    levelStandardError: Math.sqrt(inflated / n),
    slope: line.slope,
    slopeStandardError,
    autocorrelation: rho,
    swing,
    blocks: n,
    weight: line.slope === 0 ? 0 : line.slope ** 2 / (line.slope ** 2 + slopeStandardError ** 2),
    corrected: kept.map((difference, index) => ({ time: times[index]!, difference })),
  };
};
