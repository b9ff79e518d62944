import { sql, type Kysely } from "kysely";
import type { Tables } from "../storage/tables.ts";
import { csvRow } from "./csv.ts";

/** What is exported as tables for people: the question, and the file that holds its answer. Every column has its unit in its name. */
const questions = {
  runs: sql`SELECT run, job, title, customer, place, technician, opened, rehearsal, events, last_at AS seconds, measured, stops,
    outcome, decision, head FROM runs JOIN run_states USING (number) ORDER BY number`,
  jobs: sql`SELECT job, revision, title, customer, saved FROM job_revisions ORDER BY job, revision`,
  items: sql`SELECT item, revision, tag, serial, description, saved FROM item_revisions ORDER BY item, revision`,
  kit: sql`SELECT entry, revision, kind, description, serial, due, saved, author, reason FROM kit_revisions ORDER BY entry, revision`,
  findings: sql`SELECT number, entry, kind, at, author, document FROM kit_findings ORDER BY number`,
  instruments: sql`SELECT name, revision, entry, role, at, said, answered, kept, saved FROM instrument_revisions ORDER BY name, revision`,
  certificates: sql`SELECT certificates.number, runs.run, certificates.issued, certificates.authorised_by, certificates.decision,
    certificates.lines, certificates.head,
    amended.number AS amends, certificates.reason, withdrawal.at AS withdrawn, withdrawal.by AS withdrawn_by, withdrawal.reason AS withdrawn_why
    FROM certificates JOIN runs ON runs.number = certificates.run
    LEFT JOIN certificates AS amended ON amended.sequence = certificates.amends
    LEFT JOIN certificate_withdrawals AS withdrawal ON withdrawal.sequence = certificates.sequence
    ORDER BY certificates.sequence`,
} as const;

export const exportedTables = Object.keys(questions) as readonly (keyof typeof questions)[];

/** A table as comma-separated values; its first row names the columns, and is all there is of an empty one. */
export const tableText = async (database: Kysely<Tables>, table: keyof typeof questions): Promise<string> => {
  const { rows } = await questions[table].execute(database);
  const found = rows as readonly Record<string, string | number | null>[];
  const [first] = found;
  if (first === undefined) return "";
  const columns = Object.keys(first);
  return [csvRow(columns), ...found.map((row) => csvRow(columns.map((column) => row[column] ?? null)))].join("");
};
