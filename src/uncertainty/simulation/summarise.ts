import { compensatedSum } from "#numerics";

/** What sorted trials say (JCGM 101:2008, 7.6 and 7.7). */
export interface TrialSummary {
  readonly mean: number;
  /** Standard deviation of the trials. */
  readonly u: number;
  /** Probabilistically symmetric coverage interval (7.7.2). */
  readonly interval: readonly [number, number];
  /** Shortest coverage interval (7.7.4). */
  readonly shortest: readonly [number, number];
  /** Standard deviations of the two ends of `interval`, by order statistics: what chance makes of this many trials. */
  readonly endDeviations: readonly [number, number];
}

/** Trials inside the interval: pM, to the nearest whole number, but never all of them (JCGM 101:2008, 7.7.1). */
const insideOf = (level: number, count: number): number => Math.min(Math.max(Math.round(level * count), 1), count - 1);

/** 0-based index of the lower end of the symmetric interval: r = (M − q)/2, its integer part with a half added (7.7.2). */
const symmetricStart = (inside: number, count: number): number => Math.max(Math.floor((count - inside + 1) / 2) - 1, 0);

const shortestStart = (sorted: Float64Array, inside: number): number => {
  let best = 0;
  let narrowest = Number.POSITIVE_INFINITY;
  for (let start = 0; start + inside < sorted.length; start += 1) {
    const width = sorted[start + inside]! - sorted[start]!;
    if (width < narrowest) [best, narrowest] = [start, width];
  }
  return best;
};

/**
 * Standard deviation of an order statistic: half the distance between those that lie √(Mp(1−p)) places below and above,
 * the standard deviation of the number of trials below a quantile.
 */
const endDeviation = (sorted: Float64Array, index: number): number => {
  const count = sorted.length;
  const share = (index + 0.5) / count;
  const reach = Math.max(1, Math.round(Math.sqrt(count * share * (1 - share))));
  return (sorted[Math.min(index + reach, count - 1)]! - sorted[Math.max(index - reach, 0)]!) / 2;
};

/** Mean and standard deviation of sorted trials; compensated, so that their number costs no digits. */
export const momentsOf = (sorted: Float64Array): { readonly mean: number; readonly u: number } => {
  const count = sorted.length;
  const mean = compensatedSum(sorted) / count;
  let square = 0;
  for (let index = 0; index < count; index += 1) {
    const deviation = sorted[index]! - mean;
    square += deviation * deviation;
  }
  return { mean, u: Math.sqrt(square / (count - 1)) };
};

/** Ends of the probabilistically symmetric interval. */
export const symmetricInterval = (sorted: Float64Array, level: number): readonly [number, number] => {
  const inside = insideOf(level, sorted.length);
  const start = symmetricStart(inside, sorted.length);
  return [sorted[start]!, sorted[start + inside]!];
};

/** Everything that finite trials in rising order say at a level; at least two of them. */
export const summarise = (sorted: Float64Array, level: number): TrialSummary => {
  const count = sorted.length;
  const inside = insideOf(level, count);
  const start = symmetricStart(inside, count);
  const tight = shortestStart(sorted, inside);
  return {
    ...momentsOf(sorted),
    interval: [sorted[start]!, sorted[start + inside]!],
    shortest: [sorted[tight]!, sorted[tight + inside]!],
    endDeviations: [endDeviation(sorted, start), endDeviation(sorted, start + inside)],
  };
};
