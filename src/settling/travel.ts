import type { Block } from "./block.ts";

/** What the approach as a whole has shown of the item's lag behind the reference. */
export interface Travel {
  /** Where the clock, the item (°C) and its difference from the reference (K) stood at the first block. */
  readonly time: number;
  readonly item: number;
  readonly difference: number;
  /** Sum of the difference over time since then, K·s. */
  readonly area: number;
  /** End of the stretch that the area covers, s. */
  readonly until: number;
  /** Fastest movement of the reference from block to block, K/s. */
  readonly fastest: number;
  /** False after a gap in the readings: the area then misses a part. */
  readonly whole: boolean;
}

/** A longer silence than this leaves a hole in the approach's area, s. */
const longestSilence = 60;

/** Takes a block that has ended at `until` into account. */
export const travelOn = (travel: Travel | null, before: Block | undefined, block: Block, until: number): Travel => {
  if (travel === null || before === undefined) {
    return {
      time: block.time,
      item: block.reference + block.difference,
      difference: block.difference,
      area: 0,
      until: block.time,
      fastest: 0,
      whole: true,
    };
  }
  const span = until - travel.until;
  const movement = Math.abs((block.reference - before.reference) / (block.time - before.time));
  return {
    ...travel,
    area: travel.area + block.difference * span,
    until,
    fastest: Math.max(travel.fastest, movement),
    whole: travel.whole && span <= longestSilence,
  };
};
