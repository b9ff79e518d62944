import { access, mkdir, open, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, dirname, resolve } from "node:path";
import Database from "better-sqlite3";
import { Fault } from "#fault";
import { storageFault } from "../storage/trouble.ts";
import { sidecar, sidecarText } from "./check-place.ts";

/** A backup that was made. */
export interface Backup {
  readonly file: string;
  readonly bytes: number;
  /** Whose records they are, the entries of the ledger, and the hash of the last; null before there was a ledger. */
  readonly station: string | null;
  readonly entries: number | null;
  readonly head: string | null;
}

const isThere = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );

const toDisk = async (path: string): Promise<void> => {
  const file = await open(path, "r+");
  try {
    await file.sync();
  } finally {
    await file.close();
  }
};

/** Where the ledger of a database ends. */
const endOf = (file: string): Pick<Backup, "station" | "entries" | "head"> => {
  const database = new Database(file, { readonly: true });
  try {
    const ledger = database.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'ledger'").get();
    if (ledger === undefined) return { station: null, entries: null, head: null };
    return database
      .prepare(
        `SELECT this_station.station, ledger.number + 1 AS entries, ledger.hash AS head
         FROM this_station JOIN ledger USING (station) ORDER BY ledger.number DESC LIMIT 1`,
      )
      .get() as Pick<Backup, "station" | "entries" | "head">;
  } finally {
    database.close();
  }
};

/**
 * Copies the records to one file with `copy`, and writes its SHA-256 beside it. It appears under its name when it is
 * whole and on the disk; a file that is there already is never written over.
 */
export const backupDatabase = async (copy: (to: string) => Promise<void>, to: string): Promise<Backup> => {
  const file = resolve(to);
  const part = `${file}.part`;
  try {
    if (await isThere(file))
      throw new Fault(
        "records.conflict",
        `${file} is there already, and a backup is never written over. Name another.`,
        {
          data: { file },
        },
      );
    await mkdir(dirname(file), { recursive: true });
    await rm(part, { force: true });
    try {
      await copy(part);
      await toDisk(part);
      const end = endOf(part);
      await writeFile(sidecar(file), await sidecarText(part, basename(file)));
      await rename(part, file);
      return { file, bytes: (await stat(file)).size, ...end };
    } finally {
      await rm(part, { force: true });
    }
  } catch (thrown) {
    throw storageFault(thrown, file);
  }
};
