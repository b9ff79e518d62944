/**
 * How far the reference may be from the set point for the point to be this point, K. Sources are off by a degree or two at
 * their own display; a source that never moved, or that is still on its way, is further off.
 */
export const nearEnough = (setPoint: number): number => Math.max(3, 0.02 * Math.abs(setPoint));
