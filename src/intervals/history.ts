import type { Decision } from "#calibration";

/** An error as it was stated: K, its standard uncertainty, and the decision where there was one. */
export interface StatedError {
  readonly error: number;
  readonly u: number;
  readonly decision: Decision | null;
}

/** One temperature of a calibration. */
export interface EarlierPoint {
  /** °C. */
  readonly nominal: number;
  readonly asFound: StatedError | null;
  /** Null where nothing was adjusted. */
  readonly asLeft: StatedError | null;
  /** The tolerance there, K; null where there was none. */
  readonly limits: { readonly lower: number; readonly upper: number } | null;
}

/** A calibration of one item. */
export interface EarlierCalibration {
  /** Year-month-day. */
  readonly day: string;
  /** Name of the run. */
  readonly run: string;
  readonly points: readonly EarlierPoint[];
}

/** What is left of an error as a share of its limit on that side; 1 is at the limit. Null without a tolerance. */
export const shareOfLimit = ({ asFound, limits }: EarlierPoint): number | null => {
  if (asFound === null || limits === null) return null;
  const limit = asFound.error < 0 ? -limits.lower : limits.upper;
  return limit > 0 ? Math.abs(asFound.error) / limit : Number.POSITIVE_INFINITY;
};

/** Whether an item was found within its tolerance at every point that has one; null where none has. */
export const wasFoundGood = ({ points }: EarlierCalibration): boolean | null => {
  const shares = points.map(shareOfLimit).filter((share) => share !== null);
  return shares.length === 0 ? null : shares.every((share) => share <= 1);
};
