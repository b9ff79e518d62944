import { join } from "node:path";
import Database from "better-sqlite3";
import { Fault } from "#fault";
import { storageFault } from "./trouble.ts";

/**
 * Keeps a folder for one process. The lock is a file lock that the operating system holds for the process (an exclusive
 * transaction on a small database of its own), so it goes with the process however that ends; no number of a process is
 * written down that could grow stale. Throws `records.busy` when another process, or another part of this one, has the
 * folder, and `records.read-only` when the lock cannot be written. File locks need a local disk: on a network share the
 * file server decides whether they hold.
 */
export const lockFolder = (folder: string): { release(): void } => {
  let database: Database.Database | undefined;
  try {
    database = new Database(join(folder, "lock.sqlite"), { timeout: 0 });
    database.exec("BEGIN EXCLUSIVE");
    const held = database;
    return { release: () => held.close() };
  } catch (thrown) {
    database?.close();
    const fault = storageFault(thrown, folder);
    if (fault instanceof Fault && fault.code === "records.busy") {
      throw new Fault("records.busy", `The records in ${folder} are open in another Dwellpoint. Close that one, or give this one a folder of its own with --data.`, { data: { folder }, cause: thrown });
    }
    throw fault;
  }
};
