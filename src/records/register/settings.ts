import type { Kysely } from "kysely";
import type { LedgerWriter } from "../ledger/ledger.ts";
import type { Tables } from "../storage/tables.ts";

/** The value kept under a name; undefined where there is none. Whoever asks checks it: it may be of an older program. */
export const readSetting = async (database: Kysely<Tables>, name: string): Promise<unknown> => {
  const row = await database.selectFrom("settings").select("value").where("name", "=", name).executeTakeFirst();
  return row === undefined ? undefined : (JSON.parse(row.value) as unknown);
};

export const writeSetting = async (
  writer: LedgerWriter,
  name: string,
  value: unknown,
  author: string,
): Promise<void> => {
  await writer.enter({ kind: "setting-changed", author, body: { name, value } });
};
