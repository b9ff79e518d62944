/**
 * Makes the database file that stands for the newest version of the records, and beside it what it must answer. Run once
 * when a version is released; the files of earlier versions are never made again.
 *
 *   node test/databases/make-database.ts
 */
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Database from "better-sqlite3";
import { openRecords } from "#records";
import { fillWithEverything } from "../../src/records/filled-records.test-support.ts";
import { newestVersion } from "../../src/records/storage/migrate.ts";
import { answersOf } from "./answers-of.ts";

/** Fills an empty folder with invented records of every kind, some of them in blocks; answers what they answer. */
export const fillRecords = async (folder: string): Promise<unknown> => {
  const records = await openRecords(folder, { now: () => "2026-11-20T08:00:00.000Z" });
  try {
    await fillWithEverything(records);
    // So many that the oldest entries of the ledger come into a block.
    for (let value = 1; value <= 1000; value += 1) await records.writeSetting("count", value);
    return await answersOf(records);
  } finally {
    await records.close();
  }
};

const makeDatabase = async (target: string): Promise<void> => {
  const folder = mkdtempSync(join(tmpdir(), "dwellpoint-make-database-"));
  writeFileSync(`${target}.json`, `${JSON.stringify(await fillRecords(folder), null, 2)}\n`);
  const database = new Database(join(folder, "records.sqlite"));
  // Without the room that the rows of blocks left behind.
  database.prepare("VACUUM INTO ?").run(`${target}.sqlite`);
  database.close();
  rmSync(folder, { recursive: true });
};

if (import.meta.main) {
  const target = join(import.meta.dirname, `v${newestVersion}`);
  if (existsSync(`${target}.sqlite`)) {
    process.stderr.write(
      `${target}.sqlite is there already. The database of a released version is never made again.\n`,
    );
    process.exitCode = 1;
  } else {
    await makeDatabase(target);
  }
}
