import { access, mkdir, rename, rm } from "node:fs/promises";
import Database from "better-sqlite3";
import { Kysely } from "kysely";
import { Fault } from "#fault";
import { sealLines } from "../blocks/run-lines.ts";
import { LedgerWriter } from "../ledger/ledger.ts";
import { sealEntries } from "../ledger/ledger-entries.ts";
import { lockedFolder } from "../process-lock.ts";
import { RecordsDialect } from "../storage/dialect.ts";
import { migrate } from "../storage/migrate.ts";
import { setForWriting } from "../storage/open-database.ts";
import type { Tables } from "../storage/tables.ts";
import { storageFault } from "../storage/trouble.ts";
import { checkDatabase } from "../verify/check-database.ts";
import { checkRecords } from "../verify/check-records.ts";
import { Replay } from "../verify/replay.ts";
import type { RecordsCheck, RecordsSource } from "../verify/source.ts";
import { copyDatabase, databaseFile } from "./snapshot.ts";

/** Says what does not hold of records that were to be taken up. */
const refuse = (from: string, { breaks, remarks }: RecordsCheck): Fault =>
  new Fault(
    "records.damaged",
    `${from} does not hold, so nothing was taken from it. ${breaks[0]?.sentence ?? ""} dwellpoint verify tells all that does not hold; use another copy.`,
    { data: { from, breaks, remarks } },
  );

/** A database that is being made where none may be yet; it takes its place when `fill` is done. */
const inPlace = async <T>(folder: string, fill: (file: string) => Promise<T>): Promise<T> => {
  const file = databaseFile(folder);
  const part = `${file}.part`;
  try {
    await mkdir(folder, { recursive: true });
    const lock = lockedFolder(folder);
    try {
      const there = await access(file).then(
        () => true,
        () => false,
      );
      if (there)
        throw new Fault(
          "records.conflict",
          `There are records in ${folder} already. They are never written over: name a folder of its own for those that come from elsewhere.`,
          { data: { folder } },
        );
      for (const left of [part, `${part}-wal`, `${part}-shm`, `${part}-journal`]) await rm(left, { force: true });
      try {
        const answer = await fill(part);
        await rename(part, file);
        return answer;
      } finally {
        await rm(part, { force: true });
      }
    } finally {
      lock.release({ remove: true });
    }
  } catch (thrown) {
    throw storageFault(thrown, folder);
  }
};

/** Opens a database that is made, does something with it, and leaves it as one file. */
const asOneFile = async <T>(
  file: string,
  now: (() => string) | null,
  act: (database: Kysely<Tables>) => Promise<T>,
): Promise<T> => {
  const database = new Database(file);
  const open = new Kysely<Tables>({ dialect: new RecordsDialect(database) });
  try {
    setForWriting(database, "DELETE");
    migrate(database, Number(database.pragma("user_version", { simple: true })), now);
    return await act(open);
  } finally {
    await open.destroy();
  }
};

/** Notes in the ledger that the records were brought from elsewhere, and what they held then. */
const noteTakingUp = (
  database: Kysely<Tables>,
  { station, entries, head }: RecordsCheck,
  how: "restored" | "imported",
  at: string,
): Promise<void> =>
  database.transaction().execute(async (transaction) => {
    const reason = how === "restored" ? "restored from a backup" : "brought from elsewhere";
    const body = { how, entries, head };
    await new LedgerWriter(transaction, station!, at).enter({
      kind: "records-taken-up",
      author: "dwellpoint",
      reason,
      body,
    });
  });

/**
 * Puts a backup in place as the records of a folder that has none. It is checked as a whole first: nothing is restored from a
 * backup that does not hold. The ledger goes on where the backup ended, with an entry that says so.
 */
export const restoreRecords = (backup: string, folder: string, now: () => string): Promise<RecordsCheck> =>
  inPlace(folder, async (file) => {
    await copyDatabase(backup, file);
    return asOneFile(file, now, async (database) => {
      const check = await checkDatabase(database);
      if (!check.holds) throw refuse(backup, check);
      await noteTakingUp(database, check, "restored", now());
      return check;
    });
  });

/**
 * Takes records from a source into a folder that has none: the ledger entry by entry with its hashes, the logs and the
 * certificates; all tables are made anew from them. The ledger goes on from there, with an entry that says so.
 */
export const importRecords = (
  from: string,
  source: RecordsSource,
  folder: string,
  now: () => string,
): Promise<RecordsCheck> =>
  inPlace(folder, (file) =>
    asOneFile(file, null, async (database) => {
      const check = await database.transaction().execute(async (transaction) => {
        const checked = await checkRecords(source, new Replay(transaction, "records"));
        if (!checked.holds || checked.entries === 0) throw refuse(from, checked);
        return checked;
      });
      await noteTakingUp(database, check, "imported", now());
      await sealAll(database, check.station!);
      return check;
    }),
  );

/** Puts into blocks what would have come into blocks, had it been recorded here. */
const sealAll = async (database: Kysely<Tables>, station: string): Promise<void> => {
  const runs = await database.selectFrom("run_states").select(["number", "outcome"]).execute();
  for (const { number, outcome } of runs) {
    const all = outcome !== null;
    while (await database.transaction().execute((transaction) => sealLines(transaction, number, { all })));
  }
  while (await database.transaction().execute((transaction) => sealEntries(transaction, station)));
};
