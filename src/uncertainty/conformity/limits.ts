import { failure, type FaultValue } from "#fault";

/** A tolerance or acceptance interval; a side that is absent is not limited (JCGM 106:2012, 3.3.4 and 3.3.9). */
export interface Limits {
  readonly lower?: number;
  readonly upper?: number;
}

/**
 * A value at a limit belongs to the interval. Decimal figures are not exact in binary, so a value that is beyond the
 * limit by no more than 1e-9 of their size is at the limit.
 */
export const within = (value: number, { lower, upper }: Limits): boolean => {
  const slack = (limit: number): number => 1e-9 * Math.max(Math.abs(limit), Math.abs(value));
  return (
    (lower === undefined || value >= lower - slack(lower)) && (upper === undefined || value <= upper + slack(upper))
  );
};

/** Why limits cannot be limits; undefined where they can. */
export const limitsFault = (limits: Limits): { readonly ok: false; readonly fault: FaultValue } | undefined => {
  const { lower, upper } = limits;
  if (lower === undefined && upper === undefined)
    return failure("uncertainty.invalid", "A decision needs a lower limit, an upper limit or both.");
  if ([lower, upper].some((limit) => limit !== undefined && !Number.isFinite(limit))) {
    return failure("uncertainty.invalid", "A limit must be a finite number; leave out the side that is not limited.");
  }
  if (lower !== undefined && upper !== undefined && lower > upper) {
    return failure("uncertainty.invalid", `The lower limit ${lower} is above the upper limit ${upper}.`, {
      lower,
      upper,
    });
  }
  return undefined;
};

/** The limits moved inwards by `w` (outwards below 0); undefined when nothing is left between them. */
export const drawnIn = (limits: Limits, w: number): Limits | undefined => {
  const moved = {
    ...(limits.lower === undefined ? {} : { lower: limits.lower + w }),
    ...(limits.upper === undefined ? {} : { upper: limits.upper - w }),
  };
  return moved.lower !== undefined && moved.upper !== undefined && moved.lower > moved.upper ? undefined : moved;
};
