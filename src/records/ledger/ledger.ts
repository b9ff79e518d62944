import type { Kysely, Transaction } from "kysely";
import { sql } from "kysely";
import { chainStart } from "../chain/chain.ts";
import type { Tables } from "../storage/tables.ts";
import { writeEntry, type EntryDraft, type LedgerEntry } from "./entry.ts";
import { project } from "./project.ts";

/** The end of a station's ledger. */
export interface LedgerHead {
  readonly entries: number;
  readonly hash: string;
  /** UTC time of the last entry; empty where there is none. */
  readonly at: string;
}

/** How far the clock may seem to go back without a word, ms: a clock that is kept in step is moved by less. */
const unremarkable = 1000;

/** The station whose records these are. */
export const thisStation = async (database: Kysely<Tables>): Promise<string> =>
  (await database.selectFrom("this_station").select("station").executeTakeFirstOrThrow()).station;

export const ledgerHead = async (database: Kysely<Tables>, station: string): Promise<LedgerHead> => {
  const last = await database
    .selectFrom("ledger")
    .select(["number", "hash", sql<string>`text ->> '$.at'`.as("at")])
    .where("station", "=", station)
    .orderBy("number", "desc")
    .limit(1)
    .executeTakeFirst();
  return last === undefined
    ? { entries: 0, hash: chainStart, at: "" }
    : { entries: last.number + 1, hash: last.hash, at: last.at };
};

/** Writes entries in one transaction: each joins on to the one before, and is shown in the tables at once. */
export class LedgerWriter {
  readonly database: Transaction<Tables>;
  readonly station: string;
  /** UTC time of all entries of the transaction. */
  readonly #at: string;
  /** Entries that were made so far. */
  entered = 0;
  #head: LedgerHead | null = null;

  constructor(database: Transaction<Tables>, station: string, at: string) {
    this.database = database;
    this.station = station;
    this.#at = at;
  }

  /** Enters a record, and what the tables show of it. */
  async enter(draft: EntryDraft): Promise<LedgerEntry> {
    this.#head ??= await ledgerHead(this.database, this.station);
    if (Date.parse(this.#head.at) - Date.parse(this.#at) > unremarkable)
      await this.#append(steppedBack(this.#head.at, this.#at));
    return this.#append(draft);
  }

  async #append(draft: EntryDraft): Promise<LedgerEntry> {
    const { entries: number, hash: predecessor } = this.#head!;
    const written = writeEntry(draft, { station: this.station, number, at: this.#at, predecessor });
    const { entry, text, hash } = written;
    await this.database.insertInto("ledger").values({ station: this.station, number, text, hash }).execute();
    await project(this.database, entry);
    this.#head = { entries: number + 1, hash, at: this.#at };
    this.entered += 1;
    return entry;
  }
}

const steppedBack = (from: string, to: string): EntryDraft => ({
  kind: "clock-stepped-back",
  author: "dwellpoint",
  reason: `The clock of this machine stands at ${to}, before the time of the entry above, ${from}. Set it right; the order of the entries is that of their numbers.`,
  body: { from, to },
});

/** The ledger of one station in one database. */
export class Ledger {
  readonly database: Kysely<Tables>;
  readonly #now: () => string;
  readonly #grown: (entries: number) => void;
  #station: string | null = null;

  /** `grown` is told after each transaction how many entries it brought. */
  constructor(database: Kysely<Tables>, now: () => string, grown: (entries: number) => void) {
    this.database = database;
    this.#now = now;
    this.#grown = grown;
  }

  async station(): Promise<string> {
    this.#station ??= await thisStation(this.database);
    return this.#station;
  }

  /** One transaction: all of its entries stand on the disk afterwards, or none. */
  async write<T>(act: (writer: LedgerWriter) => Promise<T>): Promise<T> {
    const station = await this.station();
    let entries = 0;
    const answer = await this.database.transaction().execute(async (transaction) => {
      const writer = new LedgerWriter(transaction, station, this.#now());
      const answered = await act(writer);
      entries = writer.entered;
      return answered;
    });
    if (entries > 0) this.#grown(entries);
    return answer;
  }
}
