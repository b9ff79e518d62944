import Database from "better-sqlite3";
import { Kysely } from "kysely";
import { RecordsDialect } from "./dialect.ts";
import { migrate } from "./migrate.ts";
import type { Tables } from "./tables.ts";

/** An empty database of the newest version that belongs to nobody yet, and is gone when it is closed. */
export const scratchDatabase = (): Kysely<Tables> => {
  // An empty name: kept in memory as far as it is small, and in a file without a name beyond.
  const database = new Database("");
  database.pragma("foreign_keys = ON");
  database.pragma("recursive_triggers = ON");
  migrate(database, 0, null);
  return new Kysely<Tables>({ dialect: new RecordsDialect(database) });
};
