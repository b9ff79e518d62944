/**
 * Budget lines that differ from one point to another of the same run. All the others (reference, readout, source, what the
 * item brings) are common to the points, so they cancel in a difference and do not average out in a fit (GUM, F.1.2.3).
 */
export const ownToPoint: ReadonlySet<string> = new Set([
  "reference.resolution",
  "source.stability",
  "settling.remainder",
  "item.repeatability",
  "item.resolution",
]);
