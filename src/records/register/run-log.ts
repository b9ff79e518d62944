import type { Kysely } from "kysely";
import { parseLog, type RunEvent } from "#calibration";
import { Fault } from "#fault";
import { checkChain, type ChainCheck } from "../chain/chain.ts";
import type { Tables } from "../storage/tables.ts";
import { noRun } from "./runs.ts";

const numberOf = async (database: Kysely<Tables>, run: string): Promise<number> => {
  const row = await database.selectFrom("runs").select("number").where("run", "=", run).executeTakeFirst();
  if (row === undefined) throw noRun(run);
  return row.number;
};

const entriesOf = (database: Kysely<Tables>, number: number) =>
  database
    .selectFrom("run_events")
    .select(["n", "kind", "at", "text", "hash"])
    .where("number", "=", number)
    .orderBy("n")
    .execute();

/**
 * The lines of a run's log, as they were recorded. Throws `records.not-found`, and `records.damaged` when a line does not
 * give its hash: nothing is worked out from a log that was altered.
 */
export const logLines = async (database: Kysely<Tables>, run: string): Promise<string[]> => {
  const entries = await entriesOf(database, await numberOf(database, run));
  const check = checkChain(entries);
  if (!check.whole) {
    throw new Fault(
      "records.damaged",
      `Line ${check.at + 1} of the log of run ${run} is not as it was recorded. ${check.reason} Do not use it; restore the records from the last good copy.`,
      {
        data: { run, line: check.at + 1, holds: check.entries },
      },
    );
  }
  return entries.map(({ text }) => text);
};

/** The events of a run, each checked against its hash and its schema. */
export const readLog = async (database: Kysely<Tables>, run: string): Promise<RunEvent[]> =>
  parseLog(await logLines(database, run));

/**
 * Follows the hash chain of a run from its start, and compares it with what was noted of it outside the chain: how long it
 * was when it was last written, and what each of its certificates was issued on. So a tail that was cut off, and a whole
 * log that was rewritten with new hashes after a certificate, are found too.
 */
export const verifyRun = async (database: Kysely<Tables>, run: string): Promise<ChainCheck> => {
  const number = await numberOf(database, run);
  const rows = await entriesOf(database, number);
  const check = checkChain(rows);
  if (!check.whole) return check;
  const mislabelled = rows.find(({ n, kind, at, text }) => {
    const event = JSON.parse(text) as { n: unknown; kind: unknown; at: unknown };
    return event.n !== n || event.kind !== kind || event.at !== at;
  });
  if (mislabelled !== undefined) {
    const { n } = mislabelled;
    return {
      whole: false,
      entries: n,
      at: n,
      reason: `Entry ${n} is filed under another number, kind or time than its text says.`,
    };
  }
  const state = await database
    .selectFrom("run_states")
    .select(["events", "head"])
    .where("number", "=", number)
    .executeTakeFirst();
  const certificates = await database
    .selectFrom("certificates")
    .select(["number", "lines", "head"])
    .where("run", "=", number)
    .orderBy("sequence")
    .execute();
  const notes = [
    ...(state === undefined ? [] : [{ what: "when it was last written", lines: state.events, head: state.head }]),
    ...certificates.map(({ number: certificate, lines, head }) => ({
      what: `when certificate ${certificate} was issued`,
      lines,
      head,
    })),
  ];
  for (const { what, lines, head } of notes) {
    if (rows.length < lines) {
      return {
        whole: false,
        entries: rows.length,
        at: rows.length,
        reason: `Entry ${rows.length} and what followed is missing: the log had ${lines} entries ${what}.`,
      };
    }
    if (rows[lines - 1]?.hash !== head) {
      return {
        whole: false,
        entries: 0,
        at: 0,
        reason: `The log is not the one that it was ${what}: it was written anew, with hashes of its own.`,
      };
    }
  }
  return check;
};
