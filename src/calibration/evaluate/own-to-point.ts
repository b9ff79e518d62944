import type { MeasuredPoint } from "../result/result.ts";

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

/** Standard uncertainty of a point's error, split into what is its own and what is common to all points of the run; K. */
export const splitUncertainty = ({ budget }: MeasuredPoint): { readonly own: number; readonly common: number } => {
  const own = budget.lines.reduce((sum, line) => (ownToPoint.has(line.id) ? sum + line.contribution ** 2 : sum), 0);
  return { own: Math.sqrt(own), common: Math.sqrt(Math.max(budget.u ** 2 - own, 0)) };
};
