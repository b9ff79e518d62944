/**
 * A healthy 4-20 mA transmitter outside its range stays at 3.8 or 20.5 mA (NAMUR NE 43); the readout's own error is
 * allowed for. On the way to a point within the range that is no fault.
 */
const saturation = [3.8, 20.5] as const;
const readoutError = 0.02;

/** Whether a loop's current, mA, is one of a transmitter at the end of what it can show. */
export const isSaturated = (current: number): boolean =>
  saturation.some((end) => Math.abs(current - end) <= readoutError);
