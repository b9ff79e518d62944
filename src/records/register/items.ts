import type { Kysely } from "kysely";
import type { Item } from "#calibration";
import { canonicalJson } from "../chain/canonical-json.ts";
import type { LedgerWriter } from "../ledger/ledger.ts";
import type { ItemDescription } from "./recorded.ts";
import type { Tables } from "../storage/tables.ts";

/** An item as it was described at one time. */
export interface ItemEntry {
  readonly item: ItemDescription;
  readonly revision: number;
  readonly saved: string;
}

/** Records an item's description as a new revision, where it differs from the newest. */
export const saveItem = async (writer: LedgerWriter, item: Item, author: string, reason: string): Promise<void> => {
  const text = canonicalJson({ ...item, channel: undefined, condition: undefined });
  const newest = await writer.database
    .selectFrom("item_revisions")
    .select(["revision", "text"])
    .where("item", "=", item.id)
    .orderBy("revision", "desc")
    .limit(1)
    .executeTakeFirst();
  if (newest?.text === text) return;
  const body = { item: JSON.parse(text) as ItemDescription, revision: (newest?.revision ?? 0) + 1 };
  await writer.enter({ kind: "item-revised", author, reason, body });
};

interface Row {
  text: string;
  revision: number;
  saved: string;
}

const entry = ({ text, revision, saved }: Row): ItemEntry => ({
  item: JSON.parse(text) as ItemDescription,
  revision,
  saved,
});

/** The newest revision of every item, by identifier. */
export const listItems = async (database: Kysely<Tables>): Promise<ItemEntry[]> => {
  const rows = await database
    .selectFrom("item_revisions as one")
    .select(["one.text", "one.revision", "one.saved"])
    .where("one.revision", "=", (build) =>
      build
        .selectFrom("item_revisions as other")
        .select((each) => each.fn.max<number>("other.revision").as("highest"))
        .whereRef("other.item", "=", "one.item"),
    )
    .orderBy("one.item")
    .execute();
  return rows.map(entry);
};

/** Every revision of one item, the newest first. */
export const itemHistory = async (database: Kysely<Tables>, item: string): Promise<ItemEntry[]> => {
  const rows = await database
    .selectFrom("item_revisions")
    .select(["text", "revision", "saved"])
    .where("item", "=", item)
    .orderBy("revision", "desc")
    .execute();
  return rows.map(entry);
};
