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

export const extendTrack = (track: ApproachTrack | undefined, reading: TrackedReading): ApproachTrack =>
  track === undefined
    ? {
        firstTime: reading.time,
        firstReference: reading.reference,
        firstItem: reading.item,
        firstSignal: reading.signal,
        latestTime: reading.time,
        latestReference: reading.reference,
        latestItem: reading.item,
        readings: 1,
        neverChanged: true,
      }
    : {
        ...track,
        latestTime: reading.time,
        latestReference: reading.reference,
        latestItem: reading.item,
        readings: track.readings + 1,
        neverChanged: track.neverChanged && reading.signal === track.firstSignal,
      };
