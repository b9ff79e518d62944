import type { Procedure } from "./procedure.ts";

export type PlannedPoint = Procedure["points"][number];

/**
 * The points of a pass as the procedure plans them: those written down, and the first one once more at the end where
 * `repeatFirst` or a closing check at the first point asks for it. A list that ends where it began repeats it already.
 */
export const plannedPoints = ({ points, repeatFirst, closingCheck }: Procedure): readonly PlannedPoint[] => {
  const asked = repeatFirst === true || closingCheck?.kind === "first-point";
  const [first] = points;
  const last = points.at(-1);
  if (!asked || first === undefined || last === undefined || first.temperature === last.temperature) return points;
  return [...points, { temperature: first.temperature }];
};
