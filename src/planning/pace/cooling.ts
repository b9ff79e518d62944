import { travelTime, type Pace } from "./pace.ts";

/** What may be touched, °C (contact burns; site rules come first). */
export const touchSafe = 50;
/** What may be carried away, °C: cold to the hand (common practice, no source). */
export const transportable = 35;
/** A source this far below its surroundings is warmed before it is packed, K: a cold well gathers water. */
const coldMargin = 2;

/**
 * Time to cool down by itself, s: t = τ·ln((T₀ − Tₐ)/(T − Tₐ)), Newton's law of cooling. Nought where it is cold enough
 * already; a goal at or below the surroundings is reached only as near as 1 K.
 */
export const cooldownTime = (timeConstant: number, from: number, to: number, ambient: number): number => {
  const goal = Math.max(to, ambient + 1);
  return from <= goal ? 0 : timeConstant * Math.log((from - ambient) / (goal - ambient));
};

/** What is left to wait for after the last point, s from its last reading. */
export interface LeavingTime {
  readonly touchSafe: number;
  /** Never earlier than `touchSafe`. */
  readonly transport: number;
}

/** From the last point until the source may be touched, and until it may be carried away. */
export const leavingTime = (pace: Pace, last: number, ambient: number): LeavingTime => {
  if (last < ambient - coldMargin) return { touchSafe: 0, transport: travelTime(pace, last, ambient) };
  const touch = cooldownTime(pace.cooldown, last, touchSafe, ambient);
  return { touchSafe: touch, transport: Math.max(touch, cooldownTime(pace.cooldown, last, transportable, ambient)) };
};
