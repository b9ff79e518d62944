import type { Kysely } from "kysely";
import { parseEvent, parseLog, type RunEvent } from "#calibration";
import { blockOf, BrokenLine, runLines, sealedUpTo } from "../blocks/run-lines.ts";
import { chainStart, link, type ChainCheck } from "../chain/chain.ts";
import { brokenLog } from "../journal/run-head.ts";
import type { Tables } from "../storage/tables.ts";
import { noRun } from "./runs.ts";

const numberOf = async (database: Kysely<Tables>, run: string): Promise<number> => {
  const row = await database.selectFrom("runs").select("number").where("run", "=", run).executeTakeFirst();
  if (row === undefined) throw noRun(run);
  return row.number;
};

/**
 * The lines of a run's log, as they were recorded. Throws `records.not-found`, and `records.damaged` when a line does not
 * give its hash: nothing is worked out from a log that was altered.
 */
export const logLines = async (database: Kysely<Tables>, run: string): Promise<string[]> => {
  const lines: string[] = [];
  for await (const page of runLines(database, await numberOf(database, run))) {
    if (page instanceof BrokenLine) throw brokenLog(run, page);
    for (const { text } of page) lines.push(text);
  }
  return lines;
};

/** The events of a run, each checked against its hash and its schema. */
export const readLog = async (database: Kysely<Tables>, run: string): Promise<RunEvent[]> =>
  parseLog(await logLines(database, run));

/**
 * The events of a run page by page, each checked against its hash and its schema, so that a log of hours is never in memory
 * as a whole. It ends where the log ends when it comes there.
 */
export async function* logPages(database: Kysely<Tables>, run: string): AsyncGenerator<readonly RunEvent[]> {
  for await (const page of runLines(database, await numberOf(database, run))) {
    if (page instanceof BrokenLine) throw brokenLog(run, page);
    yield page.map(({ text, n }) => parseEvent(text, n + 1));
  }
}

/** Single events of a run by their numbers, each checked against its hash; undefined where the log has no such line. */
export const logEvents = async (
  database: Kysely<Tables>,
  run: string,
  numbers: readonly number[],
): Promise<(RunEvent | undefined)[]> => {
  const number = await numberOf(database, run);
  const sealed = await sealedUpTo(database, number);
  const found = new Map<number, string>();
  const wanted = new Set(numbers);
  for (const n of wanted) {
    if (n >= sealed || found.has(n)) continue;
    const block = await blockOf(database, number, n);
    if (block instanceof BrokenLine) throw brokenLog(run, block);
    for (const line of block ?? []) if (wanted.has(line.n)) found.set(line.n, line.text);
  }
  for (const [n, text] of await rowEvents(
    database,
    run,
    number,
    [...wanted].filter((n) => !found.has(n)),
  ))
    found.set(n, text);
  return numbers.map((n) => {
    const text = found.get(n);
    return text === undefined ? undefined : parseEvent(text, n + 1);
  });
};

/** Lines that stand in rows, each checked against the hash of the one before. */
const rowEvents = async (
  database: Kysely<Tables>,
  run: string,
  number: number,
  numbers: readonly number[],
): Promise<Map<number, string>> => {
  const rows = await database
    .selectFrom("run_events")
    .select(["n", "text", "hash"])
    .where("number", "=", number)
    .where("n", "in", [...new Set(numbers.flatMap((n) => [n - 1, n]))])
    .execute();
  const byNumber = new Map(rows.map((row) => [row.n, row]));
  const found = new Map<number, string>();
  for (const n of numbers) {
    const row = byNumber.get(n);
    if (row === undefined) continue;
    const before = byNumber.get(n - 1)?.hash ?? (await lastSealed(database, number, n));
    if (link(before, row.text) !== row.hash)
      throw brokenLog(run, new BrokenLine(n, "Its hash is not that of its text and of the line before."));
    found.set(n, row.text);
  }
  return found;
};

/** The hash before the first row: that of the last block, or the start of the chain. */
const lastSealed = async (database: Kysely<Tables>, number: number, n: number): Promise<string> => {
  const block = await database
    .selectFrom("run_segments")
    .select("hash")
    .where("number", "=", number)
    .where("last", "=", n - 1)
    .executeTakeFirst();
  return block?.hash ?? (n === 0 ? chainStart : "");
};

/**
 * Follows the hash chain of a run from its start, and compares it with what was noted of it outside the chain: how long it
 * was when it was last written, and what each of its certificates was issued on. So a tail that was cut off, and a whole
 * log that was rewritten with new hashes after a certificate, are found too.
 */
export const verifyRun = async (database: Kysely<Tables>, run: string): Promise<ChainCheck> => {
  const number = await numberOf(database, run);
  const hashes = new Map<number, string>();
  let entries = 0;
  for await (const page of runLines(database, number)) {
    if (page instanceof BrokenLine) return { whole: false, entries: page.n, at: page.n, reason: page.reason };
    for (const { n, hash } of page) hashes.set(n, hash);
    entries += page.length;
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
    if (entries < lines) {
      return {
        whole: false,
        entries: entries,
        at: entries,
        reason: `Entry ${entries} and what followed is missing: the log had ${lines} entries ${what}.`,
      };
    }
    if (hashes.get(lines - 1) !== head) {
      return {
        whole: false,
        entries: 0,
        at: 0,
        reason: `The log is not the one that it was ${what}: it was written anew, with hashes of its own.`,
      };
    }
  }
  return { whole: true, entries, head: hashes.get(entries - 1) ?? chainStart };
};
