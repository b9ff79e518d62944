import type { Kysely } from "kysely";
import { canonicalJson } from "../chain/canonical-json.ts";
import type { Tables } from "../storage/tables.ts";

/** The value kept under a name; undefined where there is none. Whoever asks checks it: it may be of an older program. */
export const readSetting = async (database: Kysely<Tables>, name: string): Promise<unknown> => {
  const row = await database.selectFrom("settings").select("value").where("name", "=", name).executeTakeFirst();
  return row === undefined ? undefined : (JSON.parse(row.value) as unknown);
};

export const writeSetting = async (database: Kysely<Tables>, name: string, value: unknown): Promise<void> => {
  const text = canonicalJson(value);
  await database
    .insertInto("settings")
    .values({ name, value: text })
    .onConflict((conflict) => conflict.column("name").doUpdateSet({ value: text }))
    .execute();
};
