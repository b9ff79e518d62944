import { sql, type Kysely } from "kysely";
import { scratchDatabase } from "../storage/scratch-database.ts";
import type { Tables } from "../storage/tables.ts";
import { checkRecords, type EntryTaker } from "./check-records.ts";
import { DatabaseSource } from "./database-source.ts";
import { Replay } from "./replay.ts";
import type { RecordsBreak, RecordsCheck } from "./source.ts";

/** Tables that follow from the ledger, each with the columns of its order. */
const projections = {
  runs: ["number"],
  run_states: ["number"],
  run_items: ["number", "item"],
  run_kit: ["number", "kind", "entry", "revision"],
  job_revisions: ["job", "revision"],
  item_revisions: ["item", "revision"],
  kit_revisions: ["entry", "revision"],
  kit_findings: ["number"],
  instrument_revisions: ["name", "revision"],
  certificates: ["sequence"],
  certificate_withdrawals: ["sequence"],
  settings: ["name"],
} as const satisfies Partial<Record<keyof Tables, readonly string[]>>;

const rowsAtOnce = 500;

/** The rows of a table in its order, with their place in it. */
async function* rowsOf(database: Kysely<Tables>, table: keyof typeof projections): AsyncGenerator<object> {
  const order = sql.join(projections[table].map((column) => sql.ref(column)));
  for (let offset = 0; ; offset += rowsAtOnce) {
    const { rows } = await sql<object>`
      SELECT * FROM ${sql.table(table)} ORDER BY ${order} LIMIT ${rowsAtOnce} OFFSET ${offset}`.execute(database);
    yield* rows;
    if (rows.length < rowsAtOnce) return;
  }
}

/** Compares a table with what the ledger makes of it; the first row that differs is told. */
const compareTable = async (
  kept: Kysely<Tables>,
  made: Kysely<Tables>,
  table: keyof typeof projections,
): Promise<RecordsBreak[]> => {
  const other = rowsOf(made, table);
  const differs = (row: object, what: string): RecordsBreak[] => {
    const key = projections[table].map((column) => String((row as Record<string, unknown>)[column])).join(" ");
    return [{ entry: null, sentence: `The table ${table} does not show what the ledger says: row ${key} ${what}.` }];
  };
  for await (const row of rowsOf(kept, table)) {
    const { done, value } = await other.next();
    if (done === true) return differs(row, "stands there, and no entry speaks of it");
    if (JSON.stringify(row) !== JSON.stringify(value)) return differs(row, "is another");
  }
  const { done, value } = await other.next();
  return done === true ? [] : differs(value as object, "is missing");
};

interface SchemaRow {
  readonly type: string;
  readonly name: string;
  readonly sql: string | null;
}

const schemaOf = async (database: Kysely<Tables>): Promise<Map<string, string | null>> => {
  const { rows } = await sql<SchemaRow>`SELECT type, name, sql FROM sqlite_schema`.execute(database);
  return new Map(rows.map((row) => [`${row.type} ${row.name}`, row.sql]));
};

/** Tables, indexes and triggers are those that the program made: a trigger taken away would let records be changed. */
const compareSchema = async (kept: Kysely<Tables>, made: Kysely<Tables>): Promise<RecordsBreak[]> => {
  const [here, there] = [await schemaOf(kept), await schemaOf(made)];
  const names = new Set([...here.keys(), ...there.keys()]);
  return [...names]
    .filter((name) => here.get(name) !== there.get(name))
    .map((name) => ({ entry: null, sentence: `The ${name} of the database is not as this program made it.` }));
};

/** What the database itself finds wrong with its file. */
const checkFile = async (database: Kysely<Tables>): Promise<RecordsBreak[]> => {
  const { rows } = await sql<{ integrity_check: string }>`PRAGMA integrity_check(10)`.execute(database);
  const foreign = await sql<{ table: string }>`PRAGMA foreign_key_check`.execute(database);
  return [
    ...rows.map(({ integrity_check: told }) => told).filter((told) => told !== "ok"),
    ...foreign.rows.map(({ table }) => `a row of ${table} speaks of something that is not there`),
  ].map((told) => ({ entry: null, sentence: `The database file is damaged: ${told}.` }));
};

/** What stands beside the ledger, and must agree with it. */
const checkBeside = async (database: Kysely<Tables>, station: string): Promise<RecordsBreak[]> => {
  const breaks: RecordsBreak[] = [];
  const others = await sql<{ station: string }>`
    SELECT station FROM ledger WHERE station <> ${station}
    UNION SELECT station FROM ledger_segments WHERE station <> ${station}`.execute(database);
  for (const { station: other } of others.rows)
    breaks.push({ entry: null, sentence: `There are entries of another station, ${other}, in this database.` });
  const twice = await sql<{ number: number }>`
    SELECT number FROM ledger AS row WHERE EXISTS (
      SELECT 1 FROM ledger_segments AS block
      WHERE block.station = row.station AND row.number BETWEEN block.first AND block.last)`.execute(database);
  for (const { number } of twice.rows)
    breaks.push({ entry: number, sentence: `Entry ${number} stands in a block, and once more beside it.` });
  const orphans = await sql<{ number: number }>`
    SELECT number FROM run_events WHERE number NOT IN (SELECT number FROM runs)
    UNION SELECT number FROM run_segments WHERE number NOT IN (SELECT number FROM runs)`.execute(database);
  for (const { number } of orphans.rows)
    breaks.push({ entry: null, sentence: `There are lines of a run ${number} that no entry speaks of.` });
  const files = await sql<{ sequence: number }>`
    SELECT sequence FROM certificate_files WHERE sequence NOT IN (SELECT sequence FROM certificates)`.execute(database);
  for (const { sequence } of files.rows)
    breaks.push({ entry: null, sentence: `There is a file of a certificate ${sequence} that no entry speaks of.` });
  return breaks;
};

/** The index of three letters finds what the runs say. */
const checkSearch = async (database: Kysely<Tables>): Promise<RecordsBreak[]> => {
  try {
    await sql`INSERT INTO run_search (run_search, rank) VALUES ('integrity-check', 1)`.execute(database);
    return [];
  } catch {
    return [{ entry: null, sentence: "The index of the search does not hold what the runs say." }];
  }
};

/** Makes the tables as long as that goes: entries that were altered may speak of what is not there. */
class Attempt {
  readonly breaks: RecordsBreak[] = [];
  #entry = 0;

  of(taker: EntryTaker): EntryTaker {
    const attempt = async (act: () => Promise<void>): Promise<void> => {
      if (this.breaks.length > 0) return;
      try {
        await act();
      } catch (thrown) {
        const why = thrown instanceof Error ? thrown.message : String(thrown);
        const sentence = `No tables can be made from the ledger: entry ${this.#entry} does not fit what stands before it (${why}).`;
        this.breaks.push({ entry: this.#entry, sentence });
      }
    };
    return {
      entry: (entry, text) => {
        this.#entry = entry.number;
        return attempt(() => taker.entry(entry, text));
      },
      lines: (run, lines) => attempt(() => taker.lines(run, lines)),
      bytes: (file, bytes) => attempt(() => taker.bytes(file, bytes)),
    };
  }
}

/**
 * Checks a database of records: its file, its ledger with all that this names by hash, and that every table shows what the
 * ledger says. The database must be a copy, or nobody else's: the check of its index asks for the right to write.
 */
export const checkDatabase = async (database: Kysely<Tables>): Promise<RecordsCheck> => {
  const made = scratchDatabase();
  try {
    const [own] = await database.selectFrom("this_station").select("station").execute();
    const station = own?.station ?? "";
    const replay = new Attempt();
    const check = await made
      .transaction()
      .execute((transaction) =>
        checkRecords(new DatabaseSource(database, station), replay.of(new Replay(transaction, "tables"))),
      );
    const breaks = [...check.breaks, ...(check.holds ? replay.breaks : [])];
    breaks.push(...(await checkFile(database)), ...(await compareSchema(database, made)));
    breaks.push(...(await checkBeside(database, station)), ...(await checkSearch(database)));
    // Where the ledger itself is broken, nobody can say what the tables should show.
    if (check.holds && replay.breaks.length === 0)
      for (const table of Object.keys(projections) as (keyof typeof projections)[])
        breaks.push(...(await compareTable(database, made, table)));
    return { ...check, station, breaks, holds: breaks.length === 0 };
  } finally {
    await made.destroy();
  }
};
