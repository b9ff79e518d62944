import type { Kysely } from "kysely";
import type { LedgerWriter } from "../ledger/ledger.ts";
import type { Tables } from "../storage/tables.ts";

/**
 * What the upkeep of a kit entry found: a check at the ice point, a pull test, a characterisation. The document is its
 * maker's own; the records keep it as it is and never look inside.
 */
export interface NewFinding {
  /** The kit entry that it is about. */
  readonly entry: string;
  /** What sort of finding it is, in its maker's words. */
  readonly kind: string;
  /** When it was found, UTC. */
  readonly at: string;
  readonly author: string;
  /** Any value that JSON can hold. */
  readonly document: unknown;
}

export interface Finding extends NewFinding {
  /** From 1 without a gap, over all kit entries. */
  readonly number: number;
  /** When it was recorded, UTC. */
  readonly saved: string;
}

/** Records a finding; answers its number. */
export const keepFinding = async (
  writer: LedgerWriter,
  { entry, kind, at, author, document }: NewFinding,
): Promise<number> => {
  const { last } = await writer.database
    .selectFrom("kit_findings")
    .select(({ fn }) => fn.max<number | null>("number").as("last"))
    .executeTakeFirstOrThrow();
  const number = (last ?? 0) + 1;
  await writer.enter({ kind: "finding-kept", author, body: { number, entry, kind, at, document } });
  return number;
};

/** The findings, the newest first; only of one kit entry, and only of one kind, where they are named. */
export const listFindings = async (database: Kysely<Tables>, entry?: string, kind?: string): Promise<Finding[]> => {
  const rows = await database
    .selectFrom("kit_findings")
    .selectAll()
    .$if(entry !== undefined, (query) => query.where("entry", "=", entry!))
    .$if(kind !== undefined, (query) => query.where("kind", "=", kind!))
    .orderBy("number", "desc")
    .execute();
  return rows.map(({ document, ...row }) => ({ ...row, document: JSON.parse(document) as unknown }));
};
