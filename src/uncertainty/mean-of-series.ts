import { failure, success, type Outcome } from "#fault";
import { compensatedSum } from "#numerics";

/** What a series of readings under the same conditions says about its mean (type A, JCGM 100:2008, 4.2). */
export interface SeriesMean {
  readonly mean: number;
  /** Standard deviation of one reading, corrected for what autocorrelation hides from the usual formula. */
  readonly standardDeviation: number;
  /** Of the mean. */
  readonly standardUncertainty: number;
  readonly readings: number;
  /** How many independent readings would say as much, 1 to `readings`. */
  readonly effectiveReadings: number;
  /** `effectiveReadings` − 1, but at least 1. */
  readonly degreesOfFreedom: number;
  /** Of neighbouring readings, corrected for the bias of short series. */
  readonly autocorrelation: number;
}

export interface SeriesOptions {
  /**
   * One digit of the display. The uncertainty of the mean is then never less than that of a digit, digit/√12: a series
   * that shows always the same says that the scatter is hidden, not that there is none. Leave it out where the digit has
   * a line of its own in the budget, or it would count twice.
   */
  readonly resolution?: number;
  /**
   * The readings are independent of each other, minutes apart and each taken anew: no correlation is estimated, because
   * from a handful of values none can be.
   */
  readonly independent?: boolean;
}

/** Correlation of readings `lag` apart, about a known mean. */
const correlationAt = (deviations: Float64Array, lag: number, square: number): number => {
  let sum = 0;
  for (let index = lag; index < deviations.length; index += 1) sum += deviations[index]! * deviations[index - lag]!;
  return sum / square;
};

/**
 * By how much the variance of the mean exceeds that of independent readings: the larger of two estimates. One takes the
 * neighbours' correlation ρ and a first-order memory, (1+ρ)/(1−ρ), which is steady for short series; the other adds up the
 * correlations seen at growing lags, 1 + 2Σ(1−k/n)·r_k, until a pair of them falls to nothing, which sees slow waves
 * (G. E. P. Box et al., Time Series Analysis; pairs: C. J. Geyer, Statistical Science 7 (1992) 473; both from memory).
 * Each correlation is estimated too low by about (1+4ρ)/n in a short series (M. G. Kendall, 1954, from memory).
 */
const inflation = (deviations: Float64Array, square: number): { factor: number; neighbours: number } => {
  const count = deviations.length;
  const first = correlationAt(deviations, 1, square);
  const neighbours = Math.min(Math.max(first + (1 + 4 * Math.max(first, 0)) / count, -0.99), 0.99);
  const memory = neighbours > 0 ? (1 + neighbours) / (1 - neighbours) : 1;
  let sum = 1 + 2 * (1 - 1 / count) * Math.max(first, 0);
  const longest = Math.floor(count / 3);
  for (let lag = 2; lag + 1 <= longest; lag += 2) {
    const near = correlationAt(deviations, lag, square);
    const far = correlationAt(deviations, lag + 1, square);
    if (near + far <= 0) break;
    sum += 2 * ((1 - lag / count) * near + (1 - (lag + 1) / count) * far);
  }
  return { factor: Math.max(memory, sum, 1), neighbours };
};

/**
 * Mean of a series and its standard uncertainty, s/√n_eff, where n_eff counts only independent readings
 * (JCGM 100:2008, 4.2.3 with the note of 4.2.7 on correlated readings). Equally spaced readings, in time order. Fewer than
 * two readings or a number that is not finite: failure `uncertainty.invalid`. A constant series has u = 0 unless the
 * display's resolution is given.
 */
export const meanOfSeries = (values: ArrayLike<number>, options: SeriesOptions = {}): Outcome<SeriesMean> => {
  const readings = values.length;
  if (readings < 2)
    return failure("uncertainty.invalid", "A mean with an uncertainty needs at least two readings.", { readings });
  const mean = compensatedSum(values) / readings;
  const deviations = Float64Array.from(values, (value) => value - mean);
  const square = deviations.reduce((sum, value) => sum + value * value, 0);
  if (!Number.isFinite(square))
    return failure("uncertainty.invalid", "A reading of the series is not a finite number, or too large.");
  const floor = (options.resolution ?? 0) / Math.sqrt(12);
  if (!(floor >= 0 && floor < Number.POSITIVE_INFINITY))
    return failure("uncertainty.invalid", "A resolution must be a finite number, 0 or more.");
  // Below this the deviations are the rounding of the mean itself: the readings are all alike.
  if (square <= readings * (4 * Number.EPSILON * Math.max(Math.abs(mean), Number.MIN_VALUE)) ** 2) {
    const degreesOfFreedom = readings - 1;
    return success({
      mean,
      standardDeviation: 0,
      standardUncertainty: floor,
      readings,
      effectiveReadings: readings,
      degreesOfFreedom,
      autocorrelation: 0,
    });
  }
  const { factor, neighbours } =
    options.independent === true ? { factor: 1, neighbours: 0 } : inflation(deviations, square);
  // At least two independent readings are granted: with fewer nothing could be said from the scatter at all.
  const effectiveReadings = Math.min(readings, Math.max(readings / factor, 2));
  // s² is too small by this when readings follow each other: E[s²] = σ²·(n − n/n_eff)/(n − 1).
  const variance = square / (readings - readings / effectiveReadings);
  const standardUncertainty = Math.max(Math.sqrt(variance / effectiveReadings), floor);
  return success({
    mean,
    standardDeviation: Math.sqrt(variance),
    standardUncertainty,
    readings,
    effectiveReadings,
    degreesOfFreedom: Math.max(effectiveReadings - 1, 1),
    autocorrelation: neighbours,
  });
};
