import { blockLength, minuteLength } from "./lengths.ts";

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

export interface PairedReading {
  /** Seconds; never falling. */
  readonly time: number;
  /** °C */
  readonly reference: number;
  /** °C */
  readonly item: number;
}

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
