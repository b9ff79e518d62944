import type { Block } from "./state.ts";

/**
 * Running sums over the blocks since the reference moved fastest: its movement m in K/s against the difference d in K.
 * An item that trails by τ shows d = d₀ − τ·m once the movement changes slowly, so −cov(m, d)/var(m) is its lag.
 */
export interface Following {
  readonly fastest: number;
  readonly count: number;
  readonly movement: number;
  readonly difference: number;
  readonly movementSquares: number;
  readonly products: number;
}

/** Movements below this say nothing about a lag, K/s. */
const leastMovement = 0.004;
/** A lag longer than this is not believed, s. */
const longestLag = 900;

const begin = (movement: number, difference: number): Following => ({
  fastest: Math.abs(movement),
  count: 1,
  movement,
  difference,
  movementSquares: 0,
  products: 0,
});

/** Takes the latest of some blocks into account. */
export const follow = (following: Following | null, blocks: readonly Block[]): Following | null => {
  const [before, latest] = blocks.slice(-2);
  if (before === undefined || latest === undefined || latest.time <= before.time) return following;
  const movement = (latest.reference - before.reference) / (latest.time - before.time);
  const difference = (before.difference + latest.difference) / 2;
  if (following === null || Math.abs(movement) > following.fastest) return begin(movement, difference);
  const count = following.count + 1;
  const step = movement - following.movement;
  const mean = following.movement + step / count;
  return {
    fastest: following.fastest,
    count,
    movement: mean,
    difference: following.difference + (difference - following.difference) / count,
    movementSquares: following.movementSquares + step * (movement - mean),
    products: following.products + step * (difference - (following.difference + (difference - following.difference) / count)),
  };
};

/** How far the item trails the reference (or the reference the item), s; null while too little has moved to tell. */
export const lagBehind = (following: Following | null): number | null => {
  if (following === null || following.fastest < leastMovement || following.count < 6) return null;
  return Math.min(longestLag, Math.abs(following.products / following.movementSquares));
};
