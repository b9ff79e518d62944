import type { Kysely } from "kysely";
import { Fault } from "#fault";
import type { LedgerWriter } from "../ledger/ledger.ts";
import type { InstrumentRevision, KnownInstrument } from "./recorded.ts";
import type { Tables } from "../storage/tables.ts";

export interface InstrumentEntryKept extends InstrumentRevision {
  readonly saved: string;
}

const columns = ["name", "revision", "entry", "role", "at", "said", "answered", "kept", "saved"] as const;

/** Every revision of one instrument, the newest first. */
export const instrumentHistory = async (database: Kysely<Tables>, name: string): Promise<InstrumentEntryKept[]> => {
  const rows = await database
    .selectFrom("instrument_revisions")
    .select(columns)
    .where("name", "=", name)
    .orderBy("revision", "desc")
    .execute();
  return rows.map((row) => ({ ...row, kept: row.kept === 1 }));
};

/** The newest revision of every instrument that was not let go, by name. */
export const listInstruments = async (database: Kysely<Tables>): Promise<InstrumentEntryKept[]> => {
  const rows = await database
    .selectFrom("instrument_revisions as one")
    .select(columns)
    .where("kept", "=", 1)
    .where("revision", "=", (newest) =>
      newest
        .selectFrom("instrument_revisions as other")
        .select(({ fn }) => fn.max("other.revision").as("newest"))
        .whereRef("other.name", "=", "one.name"),
    )
    .orderBy("name")
    .execute();
  return rows.map((row) => ({ ...row, kept: row.kept === 1 }));
};

/** Records what is known of an instrument now, as its next revision. */
export const keepInstrument = async (
  writer: LedgerWriter,
  known: KnownInstrument,
  author: string,
  kept = true,
): Promise<InstrumentEntryKept> => {
  const [newest] = await instrumentHistory(writer.database, known.name);
  const revision = (newest?.revision ?? 0) + 1;
  const { name, entry, role, at, said, answered } = known;
  const body = { name, revision, entry, role, at, said, answered, kept };
  const { at: saved } = await writer.enter({ kind: "instrument-kept", author, body });
  return { ...body, saved };
};

/** Lets an instrument go; what was recorded of it stays. Throws `records.not-found` where none of this name is kept. */
export const letInstrumentGo = async (writer: LedgerWriter, name: string, author: string): Promise<void> => {
  const [newest] = await instrumentHistory(writer.database, name);
  if (newest?.kept !== true)
    throw new Fault("records.not-found", `No instrument is kept under the name "${name}".`, { data: { name } });
  await keepInstrument(writer, newest, author, false);
};
