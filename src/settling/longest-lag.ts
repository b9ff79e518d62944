import type { Block } from "./block.ts";
import type { SettlingOptions } from "./options.ts";
import type { Travel } from "./travel.ts";

/** The item must have travelled this far before its lag can be told from it: K, and in targets. */
const shortestTravel = 3;
const travelInTargets = 20;
/** The movement must have come down to this share of its fastest; on an even ramp the lag hides in a steady difference. */
const movementLeft = 0.1;
/** Doubt about the lag: a share of it, and a lag that is never excluded, s. */
export const lagDoubt = 1.3;
export const leastLag = 15;
const mostLag = 900;

/**
 * The longest lag of the item behind the reference that the approach allows, s. The area between the two curves is the
 * lag times the item's travel, whatever the shape of the travel: τ·dT/dt = −(d − e), integrated; for several lags in a
 * row it is their sum less the reference's (first moment of a linear response), a loose fit's slow part included. Where
 * this cannot be told yet (travel too short, readings missing, the reference still on its way), the horizon stands in.
 */
export const longestLag = (
  travel: Travel | null,
  { level, movement, latest }: { readonly level: number; readonly movement: number; readonly latest: Block },
  options: SettlingOptions,
): number => {
  const { horizon, target } = options;
  if (travel === null || !travel.whole || Math.abs(movement) > movementLeft * travel.fastest) return horizon;
  const travelled = latest.reference + latest.difference - travel.item;
  if (Math.abs(travelled) < Math.max(shortestTravel, travelInTargets * target)) return horizon;
  const area = level * (travel.until - travel.time) - travel.area;
  return Math.min(mostLag, lagDoubt * Math.abs(area / travelled) + leastLag);
};
