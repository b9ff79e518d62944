import type { Database } from "better-sqlite3";
import { Fault } from "#fault";
import { first } from "./migrations/0001-first.ts";
import { ledger } from "./migrations/0002-ledger.ts";

/** In the order of their versions: the first brings an empty file to version 1. Nothing here is ever changed or removed. */
const migrations: readonly ((database: Database, now: (() => string) | null) => void)[] = [
  (database) => {
    database.exec(first);
  },
  ledger,
];

export const newestVersion = migrations.length;

/** "DWEL": says that a database file is one of ours. */
const applicationId = 0x44_57_45_4c;

const numberPragma = (database: Database, name: string): number => Number(database.pragma(name, { simple: true }));

/**
 * The version of a database; 0 for an empty one. A file that is not ours, or that a newer program wrote, is thrown as
 * `records.damaged`; looking at it changes nothing.
 */
export const recordsVersion = (database: Database, file: string): number => {
  const version = numberPragma(database, "user_version");
  const id = numberPragma(database, "application_id");
  const empty = database.prepare("SELECT count(*) AS n FROM sqlite_schema").get() as { n: number };
  if (id !== applicationId && (version !== 0 || empty.n > 0)) {
    throw new Fault(
      "records.damaged",
      `${file} is a database, but not one of Dwellpoint. Give a folder of its own to the records.`,
      { data: { file } },
    );
  }
  if (version > newestVersion) {
    throw new Fault(
      "records.damaged",
      `${file} was written by a newer Dwellpoint (records of version ${version}; this one knows ${newestVersion}). Nothing was touched. Use the newer program.`,
      { data: { file, version } },
    );
  }
  return version;
};

/**
 * Brings a database to the newest version, each step in one transaction with the change of its version number: a failed
 * step leaves the version before it. `now` answers the UTC time for what a step records; null: the records
 * will be brought from elsewhere, and the database is left empty for them.
 */
export const migrate = (database: Database, version: number, now: (() => string) | null): void => {
  for (const [index, step] of migrations.entries()) {
    if (index < version) continue;
    database.transaction(() => {
      step(database, now);
      database.pragma(`user_version = ${index + 1}`);
      database.pragma(`application_id = ${applicationId}`);
    })();
  }
};
