import { constants } from "node:fs";
import { access, copyFile, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Database from "better-sqlite3";
import { Kysely } from "kysely";
import { Fault } from "#fault";
import { RecordsDialect } from "../storage/dialect.ts";
import { migrate, recordsVersion } from "../storage/migrate.ts";
import type { Tables } from "../storage/tables.ts";
import { storageFault } from "../storage/trouble.ts";

/** The database file of a data folder. */
export const databaseFile = (folder: string): string => join(folder, "records.sqlite");

const isThere = async (path: string, mode = constants.F_OK): Promise<boolean> =>
  access(path, mode).then(
    () => true,
    () => false,
  );

/** More pages than a database can have. */
const everything = 2 ** 31 - 1;

/** Makes a copied database one file, with nothing beside it. */
const asOneFile = (file: string): void => {
  const copy = new Database(file);
  try {
    copy.pragma("journal_mode = DELETE");
  } finally {
    copy.close();
  }
};

/**
 * Copies a database that is open here, step by step, while it is written to: what is written meanwhile comes along.
 */
export const copyOpenDatabase = async (database: Database.Database, to: string): Promise<void> => {
  await database.backup(to);
  asOneFile(to);
};

/**
 * Copies a database as it stands at one moment, whoever has it open and writes to it meanwhile: nobody waits. The copy is one
 * file, with nothing beside it.
 */
export const copyDatabase = async (file: string, to: string): Promise<void> => {
  if (!(await isThere(file)))
    throw new Fault(
      "records.not-found",
      `There are no records at ${file}. Name the folder of a station, or a backup.`,
      {
        data: { file },
      },
    );
  try {
    if (await isThere(join(file, ".."), constants.W_OK)) {
      const source = new Database(file, { readonly: true });
      try {
        // In one go: a copy in steps would begin anew whenever somebody else has written in between.
        await source.backup(to, { progress: () => everything });
      } finally {
        source.close();
      }
    } else {
      // Where nothing can be written nobody writes; what its last owner left beside the file belongs to it.
      await copyFile(file, to);
      if (await isThere(`${file}-wal`)) await copyFile(`${file}-wal`, `${to}-wal`);
    }
    asOneFile(to);
  } catch (thrown) {
    throw storageFault(thrown, file);
  }
};

/** A copy of a database, brought to the newest version; the file that it was copied from is not touched. */
export const withSnapshot = async <T>(file: string, act: (database: Kysely<Tables>) => Promise<T>): Promise<T> => {
  const folder = await mkdtemp(join(tmpdir(), "dwellpoint-snapshot-"));
  try {
    const copy = join(folder, "records.sqlite");
    await copyDatabase(file, copy);
    const database = new Database(copy);
    const open = new Kysely<Tables>({ dialect: new RecordsDialect(database) });
    try {
      const version = recordsVersion(database, file);
      if (version === 0) throw new Fault("records.damaged", `${file} holds no records.`, { data: { file } });
      migrate(database, version, () => new Date().toISOString());
      return await act(open);
    } catch (thrown) {
      throw storageFault(thrown, file);
    } finally {
      await open.destroy();
    }
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
};
