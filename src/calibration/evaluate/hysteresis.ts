import type { LogView } from "../log/log-view.ts";
import { approachDirection } from "./approach-direction.ts";
import type { PointData } from "./point-data.ts";
import type { PointPlace, SeenHysteresis } from "./point-place.ts";

/**
 * The largest difference between this point and the points of the same temperature that were reached from the other side.
 * Undefined where there is none: at the ends of the way the loop closes.
 */
export const seenHysteresis = (
  view: LogView,
  place: PointPlace,
  own: PointData,
  gather: (point: number) => PointData | undefined,
): SeenHysteresis | undefined => {
  const { pass, point } = place;
  const points = view.points(pass);
  const partners = points.filter((each) => each.point !== point && each.temperature === own.nominal);
  if (partners.length === 0) return undefined;
  const direction = approachDirection(view, pass, point, own.measured.n);
  if (direction === null) return undefined;
  let largest: SeenHysteresis | undefined;
  for (const { point: other } of partners) {
    const data = gather(other);
    if (data === undefined) continue;
    const towards = approachDirection(view, pass, other, data.measured.n);
    if (towards === null || towards === direction) continue;
    const [ownError, otherError] = [own.indication - own.reference, data.indication - data.reference];
    const difference = direction === "falling" ? ownError - otherError : otherError - ownError;
    if (largest !== undefined && Math.abs(difference) <= Math.abs(largest.difference)) continue;
    largest = {
      difference,
      partner: other,
      direction,
      origin: [own.measured.n, data.measured.n].sort((a, b) => a - b),
    };
  }
  return largest;
};
