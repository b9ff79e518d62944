import type { FaultCode } from "#fault";
import type { ApproachTrack } from "./approach-track.ts";

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
}

/** Movement of the reference from which a judgement is made, K: far above any lag's start and any noise. */
const movementToJudge = 15;
/** A healthy item, however slow, never goes the other way by more than this share of the reference's movement. */
const wrongWayShare = 0.2;
/** Readings without the last digit moving that are no accident while the reference moved. */
const readingsToJudge = 30;

const wrongWay = (track: ApproachTrack, item: WatchedItem): Finding | null => {
  const reference = track.latestReference - track.firstReference;
  const moved = track.latestItem - track.firstItem;
  if (Math.abs(reference) < movementToJudge || -moved * Math.sign(reference) < wrongWayShare * Math.abs(reference)) return null;
  // The further it has gone the wrong way, the less else it can be; a full mirror image leaves no doubt.
  const confidence = Math.min(0.99, 0.7 + 0.3 * Math.min(1, Math.abs(moved / reference)));
  const direction = reference > 0 ? "rose" : "fell";
  return {
    code: "signal.reversed",
    confidence,
    message:
      `${item.tag} moves the wrong way: the reference ${direction} by ${Math.abs(reference).toFixed(0)} K and the item went ` +
      `${Math.abs(moved).toFixed(0)} K the other way. ${item.thermocouple ? "Its two wires are probably exchanged: swap them at the readout once" : "Check its connections and its range"}, then repeat the point.`,
  };
};

const neverMoves = (track: ApproachTrack, item: WatchedItem): Finding | null => {
  const reference = Math.abs(track.latestReference - track.firstReference);
  if (!track.neverChanged || track.readings < readingsToJudge || reference < movementToJudge) return null;
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
