import type { Job } from "#calibration";
import { Fault } from "#fault";
import { openRecords } from "#records";
import {
  askPlugged,
  decideReference,
  newestEntries,
  type BenchHost,
  type DecidedReference,
  type ProbeWish,
} from "#station";

/** `--probe`: what is decided where another reference is plugged in than the job's. */
export const readProbeWish = (word: string | undefined): ProbeWish | undefined => {
  if (word === undefined || word === "job" || word === "plugged") return word;
  throw new Fault("usage.wrong", `--probe wants job or plugged, not "${word}".`);
};

/**
 * The job with the reference with which it is to be run, by what its readout says is plugged in. `data` is the folder of the
 * records in which other probes are known. Throws `kit.another-probe` where somebody has to decide.
 */
export const withPlugged = async (
  host: BenchHost,
  job: Job,
  { wish, data }: { readonly wish: ProbeWish | undefined; readonly data: string | undefined },
): Promise<DecidedReference> => {
  const known = async () => {
    if (data === undefined) return [];
    const records = await openRecords(data);
    try {
      return newestEntries(await records.listKit());
    } finally {
      await records.close();
    }
  };
  return decideReference(await askPlugged(host, job, await known()), job, wish);
};
