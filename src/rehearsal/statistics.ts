/** Quantile of some values, linear between order statistics (position p·(n − 1)); null of none. */
export const quantileOf = (values: readonly number[], p: number): number | null => {
  if (values.length === 0) return null;
  const sorted = values.toSorted((a, b) => a - b);
  const place = p * (sorted.length - 1);
  const below = Math.floor(place);
  const low = sorted[below]!;
  const high = sorted[Math.min(sorted.length - 1, below + 1)]!;
  return low + (place - below) * (high - low);
};

export const medianOf = (values: readonly number[]): number | null => quantileOf(values, 0.5);

/** A share from 0 to 1; null where there is nothing to share. */
export const shareOf = (part: number, whole: number): number | null => (whole === 0 ? null : part / whole);
