import type { Kysely } from "kysely";
import { jobSchema, type Job } from "#calibration";
import { Fault } from "#fault";
import { canonicalJson } from "../chain/canonical-json.ts";
import type { LedgerWriter } from "../ledger/ledger.ts";
import type { Tables } from "../storage/tables.ts";
import { saveItem } from "./items.ts";
import { saveKit } from "./kit.ts";

/** A job in the records: its newest revision. */
export interface JobEntry {
  readonly job: Job;
  /** The file as it was given; null where there was none. */
  readonly source: string | null;
  readonly revision: number;
  /** UTC. */
  readonly saved: string;
}

export interface SavedJob {
  readonly revision: number;
  /** Whether this call wrote it; false where the newest revision says the same. */
  readonly written: boolean;
}

interface Row {
  text: string;
  source: string | null;
  revision: number;
  saved: string;
}

const newestOf = async (database: Kysely<Tables>, job: string): Promise<Row | undefined> =>
  database
    .selectFrom("job_revisions")
    .select(["text", "source", "revision", "saved"])
    .where("job", "=", job)
    .orderBy("revision", "desc")
    .limit(1)
    .executeTakeFirst();

/** The schema of today reads a job of any day: what has come since is optional there. */
const entry = ({ text, ...row }: Row): JobEntry => ({ job: jobSchema.parse(JSON.parse(text)), ...row });

export interface SaveOptions {
  /** The revision that the change was made to (0: a new job): refused as `records.conflict` when another came meanwhile. */
  readonly expected?: number | undefined;
  /** The file as it was given. */
  readonly source?: string | undefined;
  /** Who saves it; the job's technician where nothing is said. */
  readonly author?: string | undefined;
  readonly reason?: string | undefined;
}

/**
 * Records a job as a new revision where it differs from the newest, with its items and kit. A rehearsal's items and kit are
 * invented: they are not entered among the real ones.
 */
export const saveJob = async (
  writer: LedgerWriter,
  job: Job,
  { expected, source, author = job.technician, reason }: SaveOptions,
): Promise<SavedJob> => {
  const newest = await newestOf(writer.database, job.job);
  const revision = newest?.revision ?? 0;
  if (expected !== undefined && expected !== revision) {
    throw new Fault(
      "records.conflict",
      revision === 0
        ? `Job ${job.job} is not in the records, so revision ${expected} of it cannot be changed. Save it as a new job.`
        : `Job ${job.job} was saved by somebody else meanwhile (revision ${revision}, ${newest!.saved}). Look at that one, then make your change to it.`,
      { data: { job: job.job, revision, expected } },
    );
  }
  const text = canonicalJson(job);
  if (newest?.text === text) return { revision, written: false };
  const body = { job, revision: revision + 1, source: source ?? null };
  await writer.enter({ kind: "job-revised", author, ...(reason === undefined ? {} : { reason }), body });
  if (!job.rehearsal) {
    const why = `came with job ${job.job}`;
    for (const item of job.items) await saveItem(writer, item, author, why);
    await saveKit(writer, job.kit, author, why);
  }
  return { revision: revision + 1, written: true };
};

/** Throws `records.not-found`. */
export const findJob = async (database: Kysely<Tables>, job: string): Promise<JobEntry> => {
  const row = await newestOf(database, job);
  if (row === undefined)
    throw new Fault("records.not-found", `There is no job ${job} in these records.`, { data: { job } });
  return entry(row);
};

/** The newest revision of every job, the one saved last first. */
export const listJobs = async (database: Kysely<Tables>): Promise<JobEntry[]> => {
  const rows = await database
    .selectFrom("job_revisions as one")
    .select(["one.text", "one.source", "one.revision", "one.saved"])
    .where("one.revision", "=", (build) =>
      build
        .selectFrom("job_revisions as other")
        .select((each) => each.fn.max<number>("other.revision").as("highest"))
        .whereRef("other.job", "=", "one.job"),
    )
    .orderBy("one.saved", "desc")
    .orderBy("one.job")
    .execute();
  return rows.map(entry);
};
