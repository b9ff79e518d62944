import type { FaultCode } from "#fault";
import type { ApproachTrack } from "./approach-track.ts";
import { isSaturated } from "./is-saturated.ts";

/** A fault that the signals point to, with what to check; `confidence` is 0 to 1. */
export interface Finding {
  readonly code: FaultCode;
  readonly message: string;
  readonly confidence: number;
}

/** What is known of the item beforehand. */
export interface WatchedItem {
  readonly tag: string;
  readonly thermocouple: boolean;
  /** Whether it is a 4-20 mA loop, whose signal stands still at the ends of its range. */
  readonly loop: boolean;
}

/** Movement of the reference from which a judgement is made, K: far above any lag's start and any noise. */
const movementToJudge = 15;
/** A mirror image has a slope of about −1 against the reference; a healthy item, however slow, has one of 0 or more. */
const mirroredSlope = -0.2;
/** Standard errors by which that slope must be below zero. */
const beyondChance = 5;
/** Readings without the last digit moving that are no accident while the reference moved. */
const readingsToJudge = 30;

/** Slope of the straight line of the item's movement on the reference's, with its standard error. */
const slopeOf = ({ sums, readings: n }: ApproachTrack): { slope: number; standardError: number } => {
  const xx = sums.xx - (sums.x * sums.x) / n;
  const xy = sums.xy - (sums.x * sums.y) / n;
  const yy = sums.yy - (sums.y * sums.y) / n;
  if (!(xx > 0) || n < 3) return { slope: 0, standardError: Number.POSITIVE_INFINITY };
  const slope = xy / xx;
  return { slope, standardError: Math.sqrt(Math.max(0, yy - slope * xy) / (n - 2) / xx) };
};

/**
 * Movement of the item that its own lag cannot explain, K: whatever it was behind the reference at the beginning it may
 * still catch up, in either direction, while the reference has already turned.
 */
const unexplained = (track: ApproachTrack): number => {
  const moved = track.latestItem - track.firstItem;
  const behind = track.firstReference - track.firstItem;
  const catchingUp = Math.sign(behind) === Math.sign(moved) ? Math.abs(behind) : 0;
  return Math.max(0, Math.abs(moved) - catchingUp);
};

const wrongWay = (track: ApproachTrack, item: WatchedItem): Finding | null => {
  const reference = track.latestReference - track.firstReference;
  const moved = track.latestItem - track.firstItem;
  if (Math.abs(reference) < movementToJudge || moved * reference >= 0) return null;
  const { slope, standardError } = slopeOf(track);
  if (slope > mirroredSlope || slope + beyondChance * standardError > 0) return null;
  if (unexplained(track) < -mirroredSlope * Math.abs(reference)) return null;
  // The nearer to a mirror image, the less else it can be.
  const confidence = Math.min(0.99, 0.7 + 0.3 * Math.min(1, -slope));
  const direction = reference > 0 ? "rose" : "fell";
  const check = item.thermocouple
    ? "Its two wires are probably exchanged: swap them at the readout once"
    : "Check its connections and its range";
  return {
    code: "signal.reversed",
    confidence,
    message:
      `${item.tag} moves the wrong way: the reference ${direction} by ${Math.abs(reference).toFixed(0)} K and the item went ` +
      `${Math.abs(moved).toFixed(0)} K the other way. ${check}, then repeat the point.`,
  };
};

const neverMoves = (track: ApproachTrack, item: WatchedItem): Finding | null => {
  const reference = Math.abs(track.latestReference - track.firstReference);
  if (!track.neverChanged || track.readings < readingsToJudge || reference < movementToJudge) return null;
  if (item.loop && isSaturated(track.firstSignal)) return null;
  return {
    code: "signal.stuck",
    confidence: 0.9,
    message:
      `${item.tag} has not changed by one digit while the reference moved by ${reference.toFixed(0)} K. A held, damped or simulated ` +
      "output does that, and so does an item that is not in the source. Check that it is inserted, and that hold or simulation is off.",
  };
};

/** Faults that an item's approach shows while there is still time to repeat the point; empty for a healthy item. */
export const watchApproach = (track: ApproachTrack, item: WatchedItem): readonly Finding[] =>
  [wrongWay(track, item), neverMoves(track, item)].filter((finding) => finding !== null);
