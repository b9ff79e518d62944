import type { Block } from "./state.ts";

/** A straight line through block means of the difference, the cycling of the reference taken out of their scatter. */
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
  readonly blocks: number;
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
  readonly sumOfSquares: number;
  readonly timesSquared: number;
  readonly middle: number;
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
  return { level, slope, middle, timesSquared, residuals, sumOfSquares: residuals.reduce((sum, r) => sum + r * r, 0) };
};

/** Lag that best explains the residuals of the difference by the residual movement of the reference, s. */
const residualLag = (difference: Line, moving: Line): number => {
  let cross = 0;
  let squares = 0;
  for (let index = 0; index < moving.residuals.length; index += 1) {
    cross += moving.residuals[index]! * difference.residuals[index]!;
    squares += moving.residuals[index]! ** 2;
  }
  return squares > 0 ? -cross / squares : 0;
};

/**
 * Trend of the difference over some blocks. An item that lags by τ shows −τ·(movement of the reference); where the
 * reference cycles, that movement explains most of the scatter, and it is taken out if it leaves less than half of the
 * variance, at the cost of one degree of freedom. Only the part of the movement that is no trend is taken out: level and
 * slope stay those of the readings, since it is the readings that will be reported. Autocorrelation widens the standard
 * errors by √((1+ρ)/(1−ρ)).
 */
export const trendOf = (blocks: readonly Block[]): Trend => {
  const times = blocks.map((block) => block.time);
  const values = blocks.map((block) => block.difference);
  let line = fitLine(times, values);
  let parameters = 2;
  if (blocks.length >= 12) {
    const movements = blocks.map((_, index) => movement(blocks, index));
    const moving = fitLine(times, movements);
    const lag = residualLag(line, moving);
    if (lag > 0) {
      const corrected = fitLine(times, values.map((value, index) => value + lag * moving.residuals[index]!));
      if (corrected.sumOfSquares < 0.5 * line.sumOfSquares) {
        line = corrected;
        parameters = 3;
      }
    }
  }
  const n = blocks.length;
  const rho = lagOne(line.residuals);
  const variance = n > parameters ? line.sumOfSquares / (n - parameters) : Number.POSITIVE_INFINITY;
  const inflated = (variance * (1 + rho)) / (1 - rho);
  return {
    from: times[0]!,
    to: times[n - 1]!,
    level: line.level,
    levelStandardError: Math.sqrt(inflated / n),
    slope: line.slope,
    slopeStandardError: line.timesSquared > 0 ? Math.sqrt(inflated / line.timesSquared) : Number.POSITIVE_INFINITY,
    autocorrelation: rho,
    blocks: n,
  };
};
