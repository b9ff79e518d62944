import { createHash } from "node:crypto";
import { sql, type Kysely, type SqlBool } from "kysely";
import { Fault } from "#fault";
import type { LedgerWriter } from "../ledger/ledger.ts";
import type { Tables } from "../storage/tables.ts";
import type { RunDecision } from "./recorded.ts";
import { noRun, type ListedRun } from "./runs.ts";
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
  /** On what terms it was issued, as its maker wrote them; null where it said nothing. */
  readonly terms: unknown;
  /** The certificate in whose place it was issued, and why. */
  readonly amends: CertificateAmendment | null;
  /** Number of the certificate that stands in its place now. */
  readonly replacedBy: string | null;
  readonly withdrawn: Omit<CertificateWithdrawal, "number"> | null;
}

export interface CertificateAmendment {
  readonly number: string;
  readonly reason: string;
}

/** That a certificate holds no longer, though none stands in its place. */
export interface CertificateWithdrawal {
  readonly number: string;
  /** UTC. */
  readonly at: string;
  readonly by: string;
  readonly reason: string;
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
  /** Any value that JSON can hold; the records keep it and never look inside. */
  readonly terms?: unknown;
  /** The certificate in whose place this one is issued: `records.conflict` where it no longer holds. */
  readonly amends?: CertificateAmendment | null | undefined;
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
    .leftJoin("certificates as amended", "amended.sequence", "certificates.amends")
    .leftJoin("certificates as later", "later.amends", "certificates.sequence")
    .leftJoin("certificate_withdrawals as withdrawal", "withdrawal.sequence", "certificates.sequence")
    .select([
      "certificates.terms",
      "certificates.reason",
      "amended.number as amended",
      "later.number as replacedBy",
      "withdrawal.at as withdrawnAt",
      "withdrawal.by as withdrawnBy",
      "withdrawal.reason as withdrawnWhy",
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

const entry = (row: Row): CertificateEntry => {
  const { items, files, rehearsal, authorised_by: authorisedBy, terms, reason, amended, ...rest } = row;
  const { withdrawnAt, withdrawnBy, withdrawnWhy, ...told } = rest;
  return {
    ...told,
    authorisedBy,
    items: JSON.parse(items) as CertificateEntry["items"],
    rehearsal: rehearsal === 1,
    files: JSON.parse(files) as CertificateEntry["files"],
    terms: terms === null ? null : (JSON.parse(terms) as unknown),
    amends: amended === null ? null : { number: amended, reason: reason ?? "" },
    withdrawn: withdrawnAt === null ? null : { at: withdrawnAt, by: withdrawnBy!, reason: withdrawnWhy! },
  };
};

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

/** The certificate, where it holds. Throws `records.not-found`, and `records.conflict` where it was withdrawn or replaced. */
const holding = async (database: Kysely<Tables>, number: string): Promise<CertificateEntry> => {
  const certificate = await findCertificate(database, number);
  const { withdrawn, replacedBy } = certificate;
  if (withdrawn === null && replacedBy === null) return certificate;
  const what =
    withdrawn === null
      ? `certificate ${replacedBy} stands in its place`
      : `it was withdrawn by ${withdrawn.by} (${withdrawn.at})`;
  throw new Fault("records.conflict", `Certificate ${number} holds no longer: ${what}. Look at that one.`, {
    data: { number, replacedBy },
  });
};

/** Records that a certificate holds no longer. Throws `records.not-found` and `records.conflict`, as `holding` does. */
export const withdrawCertificate = async (
  writer: LedgerWriter,
  { number, at, by, reason }: CertificateWithdrawal,
): Promise<void> => {
  await holding(writer.database, number);
  await writer.enter({ kind: "certificate-withdrawn", author: by, reason, body: { number, at } });
};

/** Enters a certificate at its place, with its bytes; `records.conflict` when the number is taken. */
export const insertCertificate = async (
  writer: LedgerWriter,
  sequence: number,
  { run, issued, authorisedBy, decision, terms, amends }: NewCertificate,
  { number, pdf, xml }: MadeCertificate,
): Promise<void> => {
  const { database } = writer;
  if (amends !== null && amends !== undefined) await holding(database, amends.number);
  const taken = await database
    .selectFrom("certificates")
    .select("sequence")
    .where("number", "=", number)
    .executeTakeFirst();
  if (taken !== undefined) {
    throw new Fault(
      "records.conflict",
      `Certificate ${number} was issued already. A certificate is never changed: give this one a number of its own.`,
      { data: { number } },
    );
  }
  const known = await database
    .selectFrom("runs")
    .innerJoin("run_states", "run_states.number", "runs.number")
    .select(["run_states.events", "run_states.head"])
    .where("runs.run", "=", run)
    .executeTakeFirst();
  if (known === undefined) throw noRun(run);
  const files = { pdf: sha256(pdf), ...(xml === undefined ? {} : { xml: sha256(xml) }) };
  const body = { sequence, number, run, issued, decision, lines: known.events, head: known.head, files, terms };
  const amending = amends === null || amends === undefined ? null : amends;
  await writer.enter({
    kind: "certificate-issued",
    author: authorisedBy,
    ...(amending === null ? {} : { reason: amending.reason }),
    body: { ...body, ...(amending === null ? {} : { amends: amending.number }) },
  });
  await insertFiles(database, sequence, { pdf, xml });
};

/** The bytes themselves stand beside the ledger, which holds their hashes. */
export const insertFiles = async (
  database: Kysely<Tables>,
  sequence: number,
  { pdf, xml }: Pick<MadeCertificate, "pdf" | "xml">,
): Promise<void> => {
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
