/** What one item and the reference did since the set point was changed, in constant space. */
export interface ApproachTrack {
  readonly firstTime: number;
  readonly firstReference: number;
  readonly firstItem: number;
  readonly firstSignal: number;
  readonly latestTime: number;
  readonly latestReference: number;
  readonly latestItem: number;
  readonly readings: number;
  /** Whether every raw signal so far was the same to the last digit. */
  readonly neverChanged: boolean;
  /** Sums over the movements x of the reference and y of the item since the first reading: Σx, Σy in K, the others in K². */
  readonly sums: {
    readonly x: number;
    readonly y: number;
    readonly xx: number;
    readonly xy: number;
    readonly yy: number;
  };
}

export interface TrackedReading {
  readonly time: number;
  /** °C */
  readonly reference: number;
  /** °C */
  readonly item: number;
  /** Raw, in the channel's unit. */
  readonly signal: number;
}

export const extendTrack = (track: ApproachTrack | undefined, reading: TrackedReading): ApproachTrack => {
  const latest = { latestTime: reading.time, latestReference: reading.reference, latestItem: reading.item };
  if (track === undefined) {
    return {
      firstTime: reading.time,
      firstReference: reading.reference,
      firstItem: reading.item,
      firstSignal: reading.signal,
      ...latest,
      readings: 1,
      neverChanged: true,
      sums: { x: 0, y: 0, xx: 0, xy: 0, yy: 0 },
    };
  }
  const x = reading.reference - track.firstReference;
  const y = reading.item - track.firstItem;
  const { sums } = track;
  return {
    ...track,
    ...latest,
    readings: track.readings + 1,
    neverChanged: track.neverChanged && reading.signal === track.firstSignal,
    sums: { x: sums.x + x, y: sums.y + y, xx: sums.xx + x * x, xy: sums.xy + x * y, yy: sums.yy + y * y },
  };
};
