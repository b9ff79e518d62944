import { failure, success, type Outcome } from "#fault";
import type { SignalUnit } from "#quantity";
import type { Job } from "../job/job.ts";
import { displayRead } from "../job/typed-channel.ts";
import type { Accuracy, Readout } from "../job/kit.ts";

/** What a readout's accuracy table says of a reading: ± limits and one digit, in the reading's unit. */
export interface ReadoutAccuracy {
  readonly row: Accuracy;
  readonly halfWidth: number;
  readonly resolution: number;
}

/**
 * Whether a channel is read by the kit's readout. An item that shows its own value (an instrument whose role is `item`)
 * and a source do not go through it. A channel that the bench does not declare was read elsewhere: the readout is assumed,
 * because leaving out its accuracy would be the bolder guess.
 */
export const isReadByReadout = (job: Job, channel: string): boolean => {
  const { bench } = job;
  const place = bench.channels[channel];
  if (place?.typed === true) return displayRead(job, channel) === "readout";
  const instrument = bench.instruments.find(({ id }) => id === place?.instrument);
  return instrument === undefined || instrument.role === "readout";
};

/** The row that holds for a reading: of those in its unit the one with the smallest limit that reaches it. */
export const readoutAccuracy = (readout: Readout, unit: SignalUnit, signal: number): Outcome<ReadoutAccuracy> => {
  const reach = (row: Accuracy): number => row.upTo ?? Number.POSITIVE_INFINITY;
  const [row] = readout.accuracy
    .filter((each) => each.unit === unit && reach(each) >= Math.abs(signal))
    .toSorted((a, b) => reach(a) - reach(b));
  if (row === undefined) {
    return failure(
      "kit.out-of-range",
      `The accuracy table of the readout ${readout.id} has no row for ${signal} ${unit}. Add the row, or use a readout that covers it.`,
      {
        readout: readout.id,
        signal,
        unit,
      },
    );
  }
  return success({
    row,
    halfWidth: (row.percentOfReading / 100) * Math.abs(signal) + row.absolute,
    resolution: row.resolution,
  });
};
