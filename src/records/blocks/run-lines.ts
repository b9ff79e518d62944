import type { Kysely, Transaction } from "kysely";
import { chainStart, link } from "../chain/chain.ts";
import type { Tables } from "../storage/tables.ts";
import { opened, sealed } from "./block.ts";

/** A line of a run's log as it is stored. */
export interface StoredLine {
  readonly n: number;
  readonly text: string;
  readonly hash: string;
}

/** What is stored of a log does not hold: at which line (from 0), and why. */
export class BrokenLine {
  readonly n: number;
  readonly reason: string;

  constructor(n: number, reason: string) {
    this.n = n;
    this.reason = reason;
  }
}

/** Lines that are in memory at a time when a log is read. */
const pageLines = 500;

/** Lines and characters that go into one block at most; a single line may be longer. */
const blockLines = 1000;
const blockLength = 1 << 20;

const lines = (count: number, first: number): string =>
  count === 1 ? `Entry ${first}` : `Entries ${first} to ${first + count - 1}`;

interface Block {
  readonly first: number;
  readonly last: number;
  readonly hash: string;
  readonly sum: string;
  readonly bytes: Uint8Array;
}

const blockColumns = ["first", "last", "hash", "sum", "bytes"] as const;

/** The lines of a sealed block with their hashes; or why they do not hold. The hash of the last was kept beside the block. */
const openBlock = (block: Block, before: string): StoredLine[] | BrokenLine => {
  const { first, last, hash } = block;
  const broken = (why: string): BrokenLine =>
    new BrokenLine(first, `${lines(last - first + 1, first)} stand in one block: ${why}`);
  const texts = opened(block);
  if (typeof texts === "string") return broken(texts);
  let at = before;
  const held = texts.map((text, index) => ({ n: first + index, text, hash: (at = link(at, text)) }));
  return at === hash ? held : broken("it was changed, or an entry before it was exchanged.");
};

/** Follows rows from the hash before them; the first that does not join on ends it. */
const followRows = (
  rows: readonly { n: number; kind: string; at: number; text: string; hash: string }[],
  next: number,
  before: string,
): readonly [StoredLine[], BrokenLine | null] => {
  const held: StoredLine[] = [];
  let hash = before;
  for (const [index, row] of rows.entries()) {
    const n = next + index;
    if (row.n !== n)
      return [held, new BrokenLine(n, `Entry ${n} is missing or out of place; entry ${row.n} stands there.`)];
    hash = link(hash, row.text);
    if (hash !== row.hash) {
      const reason = `Entry ${n} was changed: its text does not give its hash, or an entry before it was exchanged.`;
      return [held, new BrokenLine(n, reason)];
    }
    if (!isLabelled(row))
      return [held, new BrokenLine(n, `Entry ${n} is filed under another number, kind or time than its text says.`)];
    held.push({ n, text: row.text, hash });
  }
  return [held, null];
};

const isLabelled = ({ n, kind, at, text }: { n: number; kind: string; at: number; text: string }): boolean => {
  const event = JSON.parse(text) as { n: unknown; kind: unknown; at: unknown };
  return event.n === n && event.kind === kind && event.at === at;
};

/**
 * The lines of a run's log from its first, page by page, each followed from its predecessor's hash: those in sealed blocks,
 * then those in rows. What does not hold comes last, and ends it.
 */
export async function* runLines(
  database: Kysely<Tables>,
  number: number,
): AsyncGenerator<readonly StoredLine[] | BrokenLine> {
  let next = 0;
  let hash = chainStart;
  for (;;) {
    // Blocks first: what is sealed while this goes on was a row before, and is found as a block then.
    const block = await database
      .selectFrom("run_segments")
      .select(blockColumns)
      .where("number", "=", number)
      .where("last", ">=", next)
      .orderBy("first")
      .limit(1)
      .executeTakeFirst();
    if (block !== undefined) {
      if (block.first > next) {
        yield new BrokenLine(
          next,
          `Entry ${next} is missing; a block that begins with entry ${block.first} stands there.`,
        );
        return;
      }
      // A block sealed meanwhile may begin with lines that were given out as rows already; it is followed from its start.
      const before = block.first === next ? hash : await hashBefore(database, number, block.first);
      const held = openBlock(block, before);
      if (held instanceof BrokenLine) {
        yield held;
        return;
      }
      yield held.slice(next - block.first);
      next = block.last + 1;
      hash = block.hash;
      continue;
    }
    const rows = await database
      .selectFrom("run_events")
      .select(["n", "kind", "at", "text", "hash"])
      .where("number", "=", number)
      .where("n", ">=", next)
      .orderBy("n")
      .limit(pageLines)
      .execute();
    // Sealed between the two questions: the rows begin behind the block, or are gone.
    if (rows[0]?.n !== next && (await sealedUpTo(database, number)) > next) continue;
    if (rows.length === 0) {
      const twice = await besideBlocks(database, number);
      if (twice !== null) yield new BrokenLine(twice, `Entry ${twice} stands in a block, and once more beside it.`);
      return;
    }
    const [held, broken] = followRows(rows, next, hash);
    if (held.length > 0) yield held;
    if (broken !== null) {
      yield broken;
      return;
    }
    next += held.length;
    hash = held.at(-1)!.hash;
  }
}

/** The first row that stands in a block too; null where there is none. */
const besideBlocks = async (database: Kysely<Tables>, number: number): Promise<number | null> => {
  const row = await database
    .selectFrom("run_events")
    .select("n")
    .where("number", "=", number)
    .where("n", "<", await sealedUpTo(database, number))
    .orderBy("n")
    .limit(1)
    .executeTakeFirst();
  return row?.n ?? null;
};

const hashBefore = async (database: Kysely<Tables>, number: number, first: number): Promise<string> => {
  const before = await database
    .selectFrom("run_segments")
    .select("hash")
    .where("number", "=", number)
    .where("last", "=", first - 1)
    .executeTakeFirst();
  return before?.hash ?? chainStart;
};

/** How many of a run's first lines stand in blocks. */
export const sealedUpTo = async (database: Kysely<Tables>, number: number): Promise<number> => {
  const { last } = await database
    .selectFrom("run_segments")
    .select(({ fn }) => fn.max<number | null>("last").as("last"))
    .where("number", "=", number)
    .executeTakeFirstOrThrow();
  return (last ?? -1) + 1;
};

/** The lines of the block that holds line `n`, with their hashes; null where it stands in a row, or nowhere. */
export const blockOf = async (
  database: Kysely<Tables>,
  number: number,
  n: number,
): Promise<StoredLine[] | BrokenLine | null> => {
  const block = await database
    .selectFrom("run_segments")
    .select(blockColumns)
    .where("number", "=", number)
    .where("first", "<=", n)
    .where("last", ">=", n)
    .executeTakeFirst();
  return block === undefined ? null : openBlock(block, await hashBefore(database, number, block.first));
};

/**
 * Seals the next lines of a run: they go into one block, the block is read back and compared, and only then the rows go, all
 * in one transaction. Answers whether a block was made; with `all`, also of fewer lines than a block may hold.
 */
export const sealLines = async (
  transaction: Transaction<Tables>,
  number: number,
  { all }: { readonly all: boolean },
): Promise<boolean> => {
  const first = await sealedUpTo(transaction, number);
  const rows = await transaction
    .selectFrom("run_events")
    .select(["n", "text", "hash"])
    .where("number", "=", number)
    .where("n", ">=", first)
    .orderBy("n")
    .limit(blockLines)
    .execute();
  let length = 0;
  const taken = rows.filter(({ text }, index) => index === 0 || (length += text.length) <= blockLength);
  const full = taken.length === blockLines || taken.length < rows.length;
  if (taken.length === 0 || !(full || all)) return false;
  const last = taken.at(-1)!;
  await transaction
    .insertInto("run_segments")
    .values({ number, first, last: last.n, hash: last.hash, ...sealed(taken.map(({ text }) => text)) })
    .execute();
  await transaction.deleteFrom("run_events").where("number", "=", number).where("n", "<=", last.n).execute();
  return true;
};

/** So many lines must stand in rows before it is worth to look whether a block can be made. */
export const worthSealing = blockLines;
