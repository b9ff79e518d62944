import type { Kysely, Transaction } from "kysely";
import { opened, sealed } from "../blocks/block.ts";
import { canonicalJson } from "../chain/canonical-json.ts";
import { chainStart } from "../chain/chain.ts";
import type { Tables } from "../storage/tables.ts";
import { hashOf } from "./entry.ts";

/** Entries that go into one block, and so many more must stand behind it. */
const blockEntries = 1000;

/** What an entry says beside its place: the rest follows from where it stands. */
const withoutPlace = (text: string): string =>
  canonicalJson({ ...(JSON.parse(text) as object), station: undefined, number: undefined, predecessor: undefined });

const inPlace = (said: string, station: string, number: number, predecessor: string): string =>
  canonicalJson({ ...(JSON.parse(said) as object), station, number, predecessor });

/** A stored entry that does not hold any more, and why. */
export class BrokenEntry {
  readonly number: number;
  readonly reason: string;

  constructor(number: number, reason: string) {
    this.number = number;
    this.reason = reason;
  }
}

export interface StoredEntry {
  /** Under which it is filed; null where it stands in a file, one behind the other. */
  readonly number: number | null;
  readonly text: string;
  /** As it stands beside the text; in a block, of the last entry only. */
  readonly hash: string | null;
}

/** Entries page by page as they are stored; whether they join on to one another is for the reader to find out. */
export async function* ledgerEntries(
  database: Kysely<Tables>,
  station: string,
): AsyncGenerator<readonly StoredEntry[] | BrokenEntry> {
  for (let next = 0; ;) {
    const block = await database
      .selectFrom("ledger_segments")
      .selectAll()
      .where("station", "=", station)
      .where("last", ">=", next)
      .orderBy("first")
      .limit(1)
      .executeTakeFirst();
    if (block !== undefined) {
      // What stands behind a block that cannot be read is followed from the hash that was kept of its end.
      const held = openBlock(block, await hashBefore(database, station, block.first));
      yield held instanceof BrokenEntry ? held : held.slice(Math.max(0, next - block.first));
      next = block.last + 1;
      continue;
    }
    const rows = await database
      .selectFrom("ledger")
      .select(["number", "text", "hash"])
      .where("station", "=", station)
      .where("number", ">=", next)
      .orderBy("number")
      .limit(blockEntries)
      .execute();
    // Sealed between the two questions: the rows begin behind the block.
    if (rows[0]?.number !== next && (await sealedEntries(database, station)) > next) continue;
    if (rows.length === 0) return;
    yield rows;
    next = rows.at(-1)!.number + 1;
  }
}

const hashBefore = async (database: Kysely<Tables>, station: string, first: number): Promise<string> => {
  const before = await database
    .selectFrom("ledger_segments")
    .select("hash")
    .where("station", "=", station)
    .where("last", "=", first - 1)
    .executeTakeFirst();
  return before?.hash ?? chainStart;
};

/** How many of a ledger's first entries stand in blocks. */
export const sealedEntries = async (database: Kysely<Tables>, station: string): Promise<number> => {
  const { last } = await database
    .selectFrom("ledger_segments")
    .select(({ fn }) => fn.max<number | null>("last").as("last"))
    .where("station", "=", station)
    .executeTakeFirstOrThrow();
  return (last ?? -1) + 1;
};

type Block = { station: string; first: number; last: number; hash: string; sum: string; bytes: Uint8Array };

const openBlock = (block: Block, before: string): StoredEntry[] | BrokenEntry => {
  const { station, first, last, hash } = block;
  const broken = (why: string): BrokenEntry =>
    new BrokenEntry(first, `Entries ${first} to ${last} stand in one block: ${why}`);
  const said = opened(block);
  if (typeof said === "string") return broken(said);
  let predecessor = before;
  try {
    const entries = said.map((each, index) => {
      const text = inPlace(each, station, first + index, predecessor);
      predecessor = hashOf(text);
      return { number: first + index, text, hash: index === said.length - 1 ? hash : null };
    });
    return predecessor === hash ? entries : broken("it was changed, or an entry before it was exchanged.");
  } catch (thrown) {
    if (!(thrown instanceof SyntaxError)) throw thrown;
    return broken("it cannot be read any more.");
  }
};

/**
 * Seals the oldest entries that stand in rows, when there are many: they go into one block, which is read back and compared
 * before the rows go. The newest stay rows. Answers whether a block was made.
 */
export const sealEntries = async (transaction: Transaction<Tables>, station: string): Promise<boolean> => {
  const rows = await transaction
    .selectFrom("ledger")
    .select(["number", "text", "hash"])
    .where("station", "=", station)
    .orderBy("number")
    .limit(blockEntries + 1)
    .execute();
  if (rows.length <= blockEntries) return false;
  const taken = rows.slice(0, blockEntries);
  const [first, last] = [taken[0]!, taken.at(-1)!];
  const { predecessor } = JSON.parse(first.text) as { predecessor: string };
  const block = {
    station,
    first: first.number,
    last: last.number,
    hash: last.hash,
    ...sealed(taken.map(({ text }) => withoutPlace(text))),
  };
  const back = openBlock(block, predecessor);
  if (back instanceof BrokenEntry || back.some(({ text }, index) => text !== taken[index]!.text)) return false;
  await transaction.insertInto("ledger_segments").values(block).execute();
  await transaction.deleteFrom("ledger").where("station", "=", station).where("number", "<=", last.number).execute();
  return true;
};
