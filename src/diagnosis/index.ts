export { extendTrack, type ApproachTrack, type TrackedReading } from "./approach-track.ts";
export { nameSignal } from "./name-signal.ts";
export { watchApproach, type Finding, type WatchedItem } from "./watch-approach.ts";
