export { extendTrack, type ApproachTrack, type TrackedReading } from "./approach-track.ts";
export { isSaturated } from "./is-saturated.ts";
export { nameObstacle } from "./name-obstacle.ts";
export { nameSaturation } from "./name-saturation.ts";
export { nameSignal } from "./name-signal.ts";
export { watchApproach, type Finding, type WatchedItem } from "./watch-approach.ts";
