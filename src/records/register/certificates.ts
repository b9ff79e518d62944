import { createHash } from "node:crypto";
import { sql, type Kysely, type SqlBool } from "kysely";
import { Fault } from "#fault";
import type { Tables } from "../storage/tables.ts";
import { noRun, type ListedRun, type RunDecision } from "./runs.ts";
import { anywhere, searchWords } from "./search-words.ts";

export type CertificateKind = "pdf" | "xml";

/** A certificate that was issued. It is never changed; an amendment is another certificate. */
export interface CertificateEntry {
  readonly number: string;
  /** Place in the order of issue, from 1 without a gap. */
  readonly sequence: number;
  readonly run: string;
  readonly job: string;
  readonly title: string;
  readonly customer: string;
  readonly items: ListedRun["items"];
  /** UTC. */
  readonly issued: string;
  readonly authorisedBy: string;
  readonly decision: RunDecision | null;
  readonly rehearsal: boolean;
  /** How many lines the log had when it was certified, and the hash of the last of them. */
  readonly lines: number;
  readonly head: string;
  /** SHA-256 of each file, in hexadecimal. */
  readonly files: Readonly<Partial<Record<CertificateKind, string>>>;
}

/** What is made once the place of the certificate is known. */
export interface MadeCertificate {
  readonly number: string;
  readonly pdf: Uint8Array;
  readonly xml?: Uint8Array | undefined;
}

export interface NewCertificate {
  readonly run: string;
  /** UTC. */
  readonly issued: string;
  readonly authorisedBy: string;
  readonly decision: RunDecision | null;
  /** Makes the certificate for its place in the order of issue. When it throws, the place is not taken. */
  make(sequence: number): Promise<MadeCertificate> | MadeCertificate;
}

export interface CertificateQuery {
  /** Words that must all occur in number, run, job, title, customer, tags or serial numbers. */
  readonly search?: string | undefined;
  readonly run?: string | undefined;
  /** 50 where nothing is said, 500 at most. */
  readonly limit?: number | undefined;
  /** `next` of the list before. */
  readonly after?: number | undefined;
}

export interface CertificateList {
  readonly certificates: readonly CertificateEntry[];
  readonly next: number | null;
}

const sha256 = (bytes: Uint8Array): string => createHash("sha256").update(bytes).digest("hex");

const allCertificates = (database: Kysely<Tables>) =>
  database
    .selectFrom("certificates")
    .innerJoin("runs", "runs.number", "certificates.run")
    .select([
      "certificates.sequence",
      "certificates.number",
      "runs.run",
      "runs.job",
      "runs.title",
      "runs.customer",
      "runs.items",
      "runs.rehearsal",
      "certificates.issued",
      "certificates.authorised_by",
      "certificates.decision",
      "certificates.lines",
      "certificates.head",
      sql<string>`(SELECT json_group_object(kind, sha256) FROM certificate_files WHERE certificate_files.sequence = certificates.sequence)`.as(
        "files",
      ),
    ]);

type Row = Awaited<ReturnType<ReturnType<typeof allCertificates>["executeTakeFirstOrThrow"]>>;

const entry = ({ items, files, rehearsal, authorised_by: authorisedBy, ...row }: Row): CertificateEntry => ({
  ...row,
  authorisedBy,
  items: JSON.parse(items) as CertificateEntry["items"],
  rehearsal: rehearsal === 1,
  files: JSON.parse(files) as CertificateEntry["files"],
});

/** Throws `records.not-found`. */
export const findCertificate = async (database: Kysely<Tables>, number: string): Promise<CertificateEntry> => {
  const row = await allCertificates(database).where("certificates.number", "=", number).executeTakeFirst();
  if (row === undefined)
    throw new Fault("records.not-found", `There is no certificate ${number} in these records.`, { data: { number } });
  return entry(row);
};

/** The place that the next certificate will have. */
export const nextSequence = async (database: Kysely<Tables>): Promise<number> => {
  const { last } = await database
    .selectFrom("certificates")
    .select((build) => build.fn.max<number | null>("sequence").as("last"))
    .executeTakeFirstOrThrow();
  return (last ?? 0) + 1;
};

/** Enters a certificate at its place, with its bytes; `records.conflict` when the number is taken. */
export const insertCertificate = async (
  database: Kysely<Tables>,
  sequence: number,
  { run, issued, authorisedBy, decision }: NewCertificate,
  { number, pdf, xml }: MadeCertificate,
): Promise<void> => {
  const taken = await database
    .selectFrom("certificates")
    .select("sequence")
    .where("number", "=", number)
    .executeTakeFirst();
  if (taken !== undefined) {
    throw new Fault(
      "records.conflict",
      `Certificate ${number} was issued already. A certificate is never changed: give this one a number of its own.`,
      {
        data: { number },
      },
    );
  }
  const known = await database
    .selectFrom("runs")
    .innerJoin("run_states", "run_states.number", "runs.number")
    .select(["runs.number", "run_states.events", "run_states.head"])
    .where("runs.run", "=", run)
    .executeTakeFirst();
  if (known === undefined) throw noRun(run);
  await database
    .insertInto("certificates")
    .values({
      sequence,
      number,
      run: known.number,
      issued,
      authorised_by: authorisedBy,
      decision,
      lines: known.events,
      head: known.head,
    })
    .execute();
  const files = [
    { kind: "pdf" as const, bytes: pdf },
    ...(xml === undefined ? [] : [{ kind: "xml" as const, bytes: xml }]),
  ];
  await database
    .insertInto("certificate_files")
    .values(files.map(({ kind, bytes }) => ({ sequence, kind, sha256: sha256(bytes), bytes: Buffer.from(bytes) })))
    .execute();
};

/**
 * The bytes of a certificate, as they were issued. Throws `records.not-found` where there are none, and `records.damaged`
 * when they no longer give the hash that was kept with them.
 */
export const certificateBytes = async (
  database: Kysely<Tables>,
  number: string,
  kind: CertificateKind,
): Promise<Uint8Array> => {
  const { sequence } = await findCertificate(database, number);
  const file = await database
    .selectFrom("certificate_files")
    .select(["bytes", "sha256"])
    .where("sequence", "=", sequence)
    .where("kind", "=", kind)
    .executeTakeFirst();
  if (file === undefined)
    throw new Fault("records.not-found", `Certificate ${number} has no ${kind.toUpperCase()}.`, {
      data: { number, kind },
    });
  if (sha256(file.bytes) !== file.sha256) {
    throw new Fault(
      "records.damaged",
      `The ${kind.toUpperCase()} of certificate ${number} was changed since it was issued. Do not use it; restore the records from the last good copy.`,
      {
        data: { number, kind },
      },
    );
  }
  return file.bytes;
};

/** Newest first. */
export const listCertificates = async (database: Kysely<Tables>, query: CertificateQuery): Promise<CertificateList> => {
  const limit = Math.min(500, Math.max(1, Math.trunc(query.limit ?? 50)));
  const rows = await allCertificates(database)
    .$if(query.run !== undefined, (select) => select.where("runs.run", "=", query.run!))
    .$if(query.after !== undefined, (select) => select.where("certificates.sequence", "<", query.after!))
    .where((build) =>
      build.and(
        searchWords(query.search ?? "").map(
          (word) =>
            sql<SqlBool>`(certificates.number LIKE ${anywhere(word)} ESCAPE '\\' OR runs.words LIKE ${anywhere(word)} ESCAPE '\\')`,
        ),
      ),
    )
    .orderBy("certificates.sequence", "desc")
    .limit(limit + 1)
    .execute();
  const shown = rows.slice(0, limit);
  return { certificates: shown.map(entry), next: rows.length > limit ? shown.at(-1)!.sequence : null };
};
