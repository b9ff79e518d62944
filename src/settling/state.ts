import type { Judgement } from "./judgement.ts";
import { blockLength, confirmationGap, minuteLength, type SettlingOptions } from "./options.ts";

/** Mean of the readings of one stretch of time. */
export interface Block {
  readonly time: number;
  readonly difference: number;
  readonly reference: number;
  readonly count: number;
  /** Sum of squared deviations of the difference within the block, K². */
  readonly scatter: number;
}

export interface OpenBlock extends Block {
  readonly begun: number;
}

/** How the bound came down, for the forecast. */
export interface BoundMark {
  readonly time: number;
  readonly ratio: number;
}

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

/**
 * Everything known about one approach: plain data, so that it can be stored, replayed and compared. Bounded in size
 * however long the wait.
 */
export interface SettlingState {
  readonly options: SettlingOptions;
  readonly begun: number | null;
  readonly blocks: readonly Block[];
  readonly open: OpenBlock | null;
  /** Means of a minute each, over a longer past than the blocks, in which a slow tail shows. */
  readonly minutes: readonly Block[];
  readonly openMinute: OpenBlock | null;
  readonly travel: Travel | null;
  /** Since when every judgement has been positive, s. */
  readonly readySince: number | null;
  readonly ready: boolean;
  readonly latest: Judgement | null;
  readonly lastJudged: number | null;
  readonly marks: readonly BoundMark[];
}

export interface PairedReading {
  /** Seconds; never falling. */
  readonly time: number;
  /** °C */
  readonly reference: number;
  /** °C */
  readonly item: number;
}

export const createSettling = (options: SettlingOptions): SettlingState => ({
  options,
  begun: null,
  blocks: [],
  open: null,
  minutes: [],
  openMinute: null,
  travel: null,
  readySince: null,
  ready: false,
  latest: null,
  lastJudged: null,
  marks: [],
});

/** Adds a reading to a block: running means and scatter (Welford). */
export const addToBlock = (open: OpenBlock | null, reading: PairedReading): OpenBlock => {
  const difference = reading.item - reading.reference;
  if (open === null) {
    return { begun: reading.time, time: reading.time, difference, reference: reading.reference, count: 1, scatter: 0 };
  }
  const count = open.count + 1;
  const mean = open.difference + (difference - open.difference) / count;
  return {
    begun: open.begun,
    time: open.time + (reading.time - open.time) / count,
    difference: mean,
    reference: open.reference + (reading.reference - open.reference) / count,
    count,
    scatter: open.scatter + (difference - open.difference) * (difference - mean),
  };
};

export const closeBlock = ({ time, difference, reference, count, scatter }: OpenBlock): Block => ({
  time,
  difference,
  reference,
  count,
  scatter,
});

export const blockIsFull = (open: OpenBlock, time: number): boolean => time - open.begun >= blockLength - 1e-9;

export const minuteIsFull = (open: OpenBlock, time: number): boolean => time - open.begun >= minuteLength - 1e-9;

export const judgementIsDue = (state: SettlingState, time: number): boolean =>
  state.lastJudged === null || time - state.lastJudged >= confirmationGap - 1e-9;
