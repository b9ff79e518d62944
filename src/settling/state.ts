import type { Following } from "./following.ts";
import type { Judgement } from "./judgement.ts";
import { blockLength, confirmationGap, type SettlingOptions } from "./options.ts";

/** Mean of the readings of one block of time. */
export interface Block {
  readonly time: number;
  readonly difference: number;
  readonly reference: number;
  readonly count: number;
  /** Sum of squared deviations of the difference within the block, K². */
  readonly scatter: number;
}

interface OpenBlock {
  readonly begun: number;
  readonly time: number;
  readonly difference: number;
  readonly reference: number;
  readonly count: number;
  readonly scatter: number;
}

/** How the bound came down, for the forecast. */
export interface BoundMark {
  readonly time: number;
  readonly ratio: number;
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
  /** How the difference followed the reference's movement since that was fastest. */
  readonly following: Following | null;
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
  following: null,
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

export const judgementIsDue = (state: SettlingState, time: number): boolean =>
  state.lastJudged === null || time - state.lastJudged >= confirmationGap - 1e-9;
