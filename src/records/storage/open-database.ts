import Database from "better-sqlite3";
import { migrate, recordsVersion } from "./migrate.ts";
import { storageFault } from "./trouble.ts";

/** How long a statement waits for another program's lock on the file, ms: a reader that looks at the file is let finish. */
const patience = 2000;

/** Sets an open database for durable writing. */
export const setForWriting = (database: Database.Database, journal: "WAL" | "DELETE"): void => {
  database.pragma(`journal_mode = ${journal}`);
  database.pragma("synchronous = FULL");
  database.pragma("foreign_keys = ON");
  // Without it INSERT OR REPLACE would remove a row past the trigger that forbids it.
  database.pragma("recursive_triggers = ON");
  database.pragma("trusted_schema = OFF");
};

/**
 * Opens the database file for durable writing: write-ahead log, and every commit on the disk before it is answered
 * (`synchronous = FULL`; the library's own default in this mode is one step weaker). Brought to the newest version, at
 * the UTC time that `now` answers.
 */
export const openDatabase = (file: string, now: () => string): Database.Database => {
  let database: Database.Database | undefined;
  try {
    database = new Database(file, { timeout: patience });
    // Before anything is set: the mode of the journal is written into the file.
    const version = recordsVersion(database, file);
    setForWriting(database, "WAL");
    migrate(database, version, now);
    return database;
  } catch (thrown) {
    database?.close();
    throw storageFault(thrown, file);
  }
};
