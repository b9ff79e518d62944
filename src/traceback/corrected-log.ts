import {
  calendarDay,
  figureAt,
  jobAfter,
  type Job,
  type Reference,
  type Readout,
  type RunEvent,
  type RunEventOf,
} from "#calibration";
import { unwrap } from "#fault";
import { prepare } from "#thermometry";
import { addedAt, correctionOfReference, type Added } from "./correction-at.ts";
import { shareAt, type Share } from "./share-at.ts";
import type { Suspicion } from "./suspicion.ts";

type Readings = RunEventOf<"readings-taken">;
type Digits = Pick<Readings, "values"> & { readonly wire: string[] };

/** A kit entry with the uncertainty that the correction brings. */
type Widened<Entry> = (entry: Entry, job: Job) => Entry;

interface Repair {
  /** Corrected readings; undefined where the suspect had nothing to do with them. */
  readonly readings: (block: Readings, job: Job) => Digits | undefined;
  readonly reference: Widened<Reference>;
  readonly readout: Widened<Readout>;
}

const same = <Entry>(entry: Entry): Entry => entry;

/** The digits that came over the wire stay, because one digit of the reading is still what it was. */
const digitsOf = ({ wire, values }: Readings): string[] => wire ?? values.map(String);

const isSuspect = ({ kit }: Suspicion, { id, serial, revision }: Reference | Readout): boolean =>
  serial === kit.serial &&
  (kit.entry === undefined || id === kit.entry) &&
  (kit.revision === undefined || revision === kit.revision);

/** Standard uncertainty of a share of a correction: its own, and what is not known of the share. */
const uncertaintyOf = ({ add, u }: Added, { share, u: ofShare }: Share): number => Math.hypot(share * u, ofShare * add);

const planned = ({ procedure, items }: Job): number[] => [
  ...procedure.points.map(({ temperature }) => temperature),
  ...items.flatMap(({ range }) => (range === undefined ? [] : [range.lower, range.upper])),
];

const ascending = (values: readonly number[]): number[] => [...new Set(values)].sort((a, b) => a - b);

/** The reference's U with that of the correction, as a table over the temperatures that matter (rule T5). */
const widenReference =
  (suspicion: Suspicion, share: Share): Widened<Reference> =>
  (reference, job) => {
    const correction = correctionOfReference(suspicion.correction, reference.sensor);
    const extra = (temperature: number): number => {
      const u = uncertaintyOf(correction.at(temperature), share);
      return Number.isNaN(u) ? 0 : u;
    };
    const { calibration } = reference;
    const own =
      typeof calibration.uncertainty === "number" ? [] : calibration.uncertainty.map((row) => row.temperature);
    const given = suspicion.correction.kind === "differences" ? suspicion.correction.table.map((row) => row.at) : [];
    const rows = ascending([...own, ...given, ...planned(job)]).map((temperature) => ({
      temperature,
      value: Math.hypot(figureAt(calibration.uncertainty, temperature), calibration.k * extra(temperature)),
    }));
    const unchanged = rows.every((row) => row.value === figureAt(calibration.uncertainty, row.temperature));
    return unchanged ? reference : { ...reference, calibration: { ...calibration, uncertainty: rows } };
  };

const repairReference = (suspicion: Suspicion, share: Share): Repair => {
  /** Prepared once for each reference of the log. */
  const repairs = new Map<Reference, (values: readonly number[]) => number[]>();
  const repairFor = (reference: Reference): ((values: readonly number[]) => number[]) => {
    const sensor = unwrap(prepare(reference.sensor));
    const correction = correctionOfReference(suspicion.correction, reference.sensor);
    return (values) => {
      const read = Float64Array.from(values);
      const into = { values: new Float64Array(read.length), statuses: new Uint8Array(read.length) };
      sensor.temperatures(read, into);
      const temperatures = into.values.slice();
      const added = correction.all(read, temperatures);
      sensor.signals(
        temperatures.map((temperature, index) => temperature + share.share * added[index]!),
        into,
      );
      // A reading that is no temperature, under the old or the right coefficients, stays what it was.
      return values.map((value, index) => (Number.isNaN(into.values[index]) ? value : into.values[index]!));
    };
  };
  return {
    readings: (block, { kit: { reference } }) => {
      if (block.channel !== reference.channel || !isSuspect(suspicion, reference)) return undefined;
      const repair = repairs.get(reference) ?? repairFor(reference);
      repairs.set(reference, repair);
      return { values: repair(block.values), wire: digitsOf(block) };
    },
    reference: (reference, job) =>
      isSuspect(suspicion, reference) ? widenReference(suspicion, share)(reference, job) : reference,
    readout: same,
  };
};

const repairReadout = (suspicion: Suspicion, share: Share): Repair => {
  const { correction } = suspicion;
  if (correction.kind !== "differences") return { readings: () => undefined, reference: same, readout: same };
  const { table, unit } = correction;
  const isRead = ({ bench }: Job, channel: string): boolean => {
    const place = bench.channels[channel];
    if (place === undefined) return true;
    if (!("instrument" in place)) return false;
    return bench.instruments.find(({ id }) => id === place.instrument)?.role === "readout";
  };
  const widest = Math.max(...table.map(({ add, u }) => uncertaintyOf({ add, u }, share)));
  return {
    readings: (block, job) => {
      if (block.unit !== unit || !isSuspect(suspicion, job.kit.readout) || !isRead(job, block.channel))
        return undefined;
      return {
        values: block.values.map((value) => value + share.share * addedAt(table, value).add),
        wire: digitsOf(block),
      };
    },
    reference: same,
    // The accuracy is limits of a rectangular distribution: the correction's u is brought to such limits (rule T5).
    readout: (readout) =>
      widest === 0 || !isSuspect(suspicion, readout)
        ? readout
        : {
            ...readout,
            accuracy: readout.accuracy.map((row) =>
              row.unit === unit ? { ...row, absolute: row.absolute + Math.sqrt(3) * widest } : row,
            ),
          },
  };
};

/**
 * The log as it would stand had the suspect been read rightly: its readings corrected, its uncertainty widened by that of the
 * correction, all else as it was (rules T1, T4 and T5). The share is that of the day on which the run was opened.
 *
 * @throws Fault `log.invalid` where it does not begin with the opening of a run
 */
export const correctedLog = (log: readonly RunEvent[], suspicion: Suspicion): readonly RunEvent[] => {
  const [opened] = log;
  if (opened?.kind !== "run-opened") return log;
  const share = shareAt(suspicion, calendarDay(opened.opened));
  if (share.share === 0 && share.u === 0) return log;
  const repair =
    suspicion.kit.kind === "reference" ? repairReference(suspicion, share) : repairReadout(suspicion, share);
  const widened = (job: Job, kit: Pick<Job["kit"], "reference" | "readout">) => ({
    reference: repair.reference(kit.reference, job),
    readout: repair.readout(kit.readout, job),
  });
  // Readings are corrected by the job as it was written; only what is written anew has the wider figures.
  let job = opened.job;
  return log.map((event): RunEvent => {
    job = jobAfter(job, event);
    if (event.kind === "run-opened")
      return { ...event, job: { ...event.job, kit: { ...event.job.kit, ...widened(event.job, event.job.kit) } } };
    if (event.kind === "kit-replaced") {
      const { reference, readout } = event;
      if (reference !== undefined) return { ...event, reference: repair.reference(reference, job) };
      return readout === undefined ? event : { ...event, readout: repair.readout(readout, job) };
    }
    if (event.kind !== "readings-taken") return event;
    const right = repair.readings(event, job);
    return right === undefined ? event : { ...event, ...right };
  });
};
