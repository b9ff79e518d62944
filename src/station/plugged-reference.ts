import { isTyped, type Job } from "#calibration";
import { Fault, type Outcome } from "#fault";
import type { PluggedProbe } from "#instruments";
import {
  dataSheetWord,
  differencesBetween,
  matchingEntry,
  readTeds,
  type BroughtEntry,
  type EntryMatch,
} from "#intake";
import type { BenchHost, CatalogEntry } from "./bench-host.ts";

type ReferenceEntry = Extract<BroughtEntry, { kind: "reference" }>;

/** Which probe is on the reference's channel, against the one that the job is for. */
export type PluggedReference =
  /** The readout has no way to say it. */
  | { readonly state: "unasked" }
  /** `newer`: what the records know of it beyond the job. */
  | { readonly state: "expected"; readonly said: string; readonly newer: ReferenceEntry | null }
  | { readonly state: "none" }
  | { readonly state: "another"; readonly said: string; readonly known: ReferenceEntry | null }
  | { readonly state: "unread"; readonly why: string };

/** What a person decides where the probe is not the job's, or the records know more of it. */
export type ProbeWish = "job" | "plugged";

interface Said {
  readonly words: string;
  readonly identity: { readonly serial: string | null; readonly dataSheet: string | null };
}

const saidBy = (probe: Exclude<PluggedProbe, { kind: "none" }>): Said | string => {
  if (probe.kind === "serial")
    return { words: `serial number ${probe.serial}`, identity: { serial: probe.serial, dataSheet: null } };
  const teds = readTeds(probe.bytes);
  if (!teds.ok) return teds.fault.message;
  const { basic } = teds.value;
  const dataSheet = dataSheetWord(basic);
  return { words: `data sheet ${dataSheet}`, identity: { serial: String(basic.serial), dataSheet } };
};

const matchIn = ({ identity }: Said, entries: readonly BroughtEntry[]): EntryMatch | null =>
  matchingEntry(
    { identity: { ...identity, manufacturer: null, model: null, description: null, further: [] }, entry: null },
    entries,
  );

const asReference = (entry: BroughtEntry | undefined): ReferenceEntry | null =>
  entry?.kind === "reference" ? entry : null;

/**
 * What an answer means for a job. `kit` are the newest revisions that the records have; without them only the job's own
 * entry can be recognised.
 */
export const judgePlugged = (
  answer: Outcome<PluggedProbe> | null,
  { kit: { reference } }: Job,
  kit: readonly BroughtEntry[],
): PluggedReference => {
  if (answer === null) return { state: "unasked" };
  if (!answer.ok) return { state: "unread", why: answer.fault.message };
  if (answer.value.kind === "none") return { state: "none" };
  const said = saidBy(answer.value);
  if (typeof said === "string") return { state: "unread", why: said };
  const { channel: _, ...entry } = reference;
  const own: ReferenceEntry = { kind: "reference", entry };
  const recorded = matchIn(said, kit)?.entry;
  const isOwn = matchIn(said, [own]) !== null || (recorded !== undefined && recorded.entry.id === entry.id);
  if (!isOwn) return { state: "another", said: said.words, known: asReference(recorded) };
  const newest = asReference(recorded);
  const isNewer =
    newest !== null &&
    newest.entry.id === entry.id &&
    (newest.entry.revision > entry.revision || newest.entry.calibration.date > entry.calibration.date) &&
    differencesBetween(own, newest).length > 0;
  return { state: "expected", said: said.words, newer: isNewer ? newest : null };
};

const hasProbeQuestion = (job: Job, catalog: readonly CatalogEntry[]): boolean => {
  const { channel } = job.kit.reference;
  const wired = job.bench.channels[channel];
  if (wired === undefined || isTyped(job.bench, channel) || !("instrument" in wired)) return false;
  const instrument = job.bench.instruments.find(({ id }) => id === wired.instrument);
  return catalog.some((entry) => entry["entry"] === instrument?.entry && entry["probe"] !== undefined);
};

/**
 * Asks the readout of a job which reference is plugged in, before a run of it is begun. The bench is opened for the question
 * alone and let go again; a job whose readout cannot say is not touched. Commands nothing.
 */
export const askPlugged = async (
  host: BenchHost,
  job: Job,
  kit: readonly BroughtEntry[],
): Promise<PluggedReference> => {
  const catalog = host.catalogOf(job);
  if (!hasProbeQuestion(job, catalog)) return { state: "unasked" };
  const opened = `${new Date().toISOString().slice(0, 19)}Z`;
  const seed = host.isSimulated(job) ? 1 : null;
  const hosted = await host.open({ job, catalog, opened, from: 0, seed, speed: 1, trims: [] });
  try {
    const prepared = await hosted.bench.prepare();
    if (!prepared.ok) return { state: "unread", why: prepared.fault.message };
    return judgePlugged((await hosted.probe?.(job.kit.reference.channel)) ?? null, job, kit);
  } finally {
    await hosted.close();
  }
};

const revisionWords = ({ entry }: ReferenceEntry): string => `${entry.id} revision ${entry.revision}`;

const question = (plugged: Exclude<PluggedReference, { state: "unasked" }>, job: Job): string => {
  const { id, serial } = job.kit.reference;
  switch (plugged.state) {
    case "none":
      return `Nothing that says who it is is plugged in on the reference's channel; the job is for ${id}, serial number ${serial}. Plug it in, or say that it is the job's probe all the same.`;
    case "unread":
      return `Which probe is on the reference's channel could not be found out: ${plugged.why} Look at the probe: the job is for ${id}, serial number ${serial}.`;
    case "another":
      return plugged.known === null
        ? `Another probe is plugged in than the job is for: it says ${plugged.said}, and no kit entry is known by that. The job is for ${id}, serial number ${serial}. Plug that in, bring the probe on the page of the kit, or say that it is the job's probe all the same.`
        : `Another probe is plugged in than the job is for: it is ${revisionWords(plugged.known)}, serial number ${plugged.known.entry.serial}; the job is for ${id}, serial number ${serial}. Plug that in, or take the plugged-in one for this run.`;
    case "expected":
      return "";
  }
};

/** A run's job with the reference that was decided on, and what is to stand in its log about that; null for nothing. */
export interface DecidedReference {
  readonly job: Job;
  readonly note: string | null;
}

const withReference = (job: Job, { entry }: ReferenceEntry): Job => ({
  ...job,
  kit: { ...job.kit, reference: { ...entry, channel: job.kit.reference.channel } },
});

/**
 * What follows from what is plugged in. The job's own probe goes on without a word; with `plugged` its newest revision is
 * taken. Anything else needs somebody's word before the run begins: without one it is thrown as `kit.another-probe`.
 */
export const decideReference = (plugged: PluggedReference, job: Job, wish: ProbeWish | undefined): DecidedReference => {
  if (plugged.state === "unasked") return { job, note: null };
  if (plugged.state === "expected") {
    if (wish !== "plugged" || plugged.newer === null) return { job, note: null };
    const note = `The plugged-in reference says ${plugged.said}: ${revisionWords(plugged.newer)} is taken in place of the job's revision ${job.kit.reference.revision}.`;
    return { job: withReference(job, plugged.newer), note };
  }
  if (wish === "job")
    return {
      job,
      note: `${question(plugged, job).split(". ")[0]}. It was said to be the job's probe all the same.`,
    };
  if (wish === "plugged" && plugged.state === "another" && plugged.known !== null) {
    if (plugged.known.entry.unit !== job.kit.reference.unit)
      throw new Fault(
        "kit.another-probe",
        `${revisionWords(plugged.known)} is read in ${plugged.known.entry.unit} and the job's channel in ${job.kit.reference.unit}: it cannot take the place of ${job.kit.reference.id} in this job.`,
      );
    const note = `The plugged-in reference says ${plugged.said}: ${revisionWords(plugged.known)} is taken in place of the job's ${job.kit.reference.id}.`;
    return { job: withReference(job, plugged.known), note };
  }
  throw new Fault("kit.another-probe", question(plugged, job), {
    data: {
      plugged: plugged.state,
      known: plugged.state === "another" && plugged.known !== null ? plugged.known.entry.id : null,
    },
  });
};
