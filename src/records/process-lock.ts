import { accessSync, constants, unlinkSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { Fault } from "#fault";

const systemCode = (thrown: unknown): string =>
  thrown instanceof Error && "code" in thrown && typeof thrown.code === "string" ? thrown.code : "";

/** An exclusive transaction on a database file of its own; null when another process, or another lock here, has it. */
const hold = (path: string): Database.Database | null => {
  const file = new Database(path, { timeout: 0 });
  try {
    // A file that may only be read is opened for reading without a word, and then locks nothing.
    accessSync(path, constants.W_OK);
    file.pragma("journal_mode = MEMORY");
    file.exec("BEGIN EXCLUSIVE");
    return file;
  } catch (thrown) {
    file.close();
    if (systemCode(thrown).startsWith("SQLITE_BUSY")) return null;
    throw thrown;
  }
};

/**
 * A lock that lives as long as its process: the system drops it when the process ends, however it ends, so that it is
 * never left behind. Nobody may open the lock file by other means in this process: closing it would drop the lock
 * (POSIX.1-2024, fcntl: a process's locks on a file go when it closes any descriptor of it).
 */
export class ProcessLock {
  readonly #path: string;
  readonly #file: Database.Database;

  private constructor(path: string, file: Database.Database) {
    this.#path = path;
    this.#file = file;
  }

  /** The lock, or null when somebody has it. Throws the system's own error where the file cannot be made. */
  static take(path: string): ProcessLock | null {
    for (;;) {
      const file = hold(path);
      if (file === null) return null;
      // The file may have been removed by its last holder after it was opened here; then the name belongs to nobody yet.
      const another = hold(path);
      if (another === null) return new ProcessLock(path, file);
      another.close();
      file.close();
    }
  }

  /** Gives the lock back. With `remove` its file goes too: while the lock is still held, so that nobody loses theirs. */
  release({ remove }: { remove: boolean }): void {
    if (remove) this.#remove();
    this.#file.close();
  }

  #remove(): void {
    try {
      unlinkSync(this.#path);
    } catch (thrown) {
      // A file that stays behind locks nothing; elsewhere than POSIX an open file cannot be removed.
      if (!["ENOENT", "EPERM", "EBUSY", "EACCES", "EROFS"].includes(systemCode(thrown))) throw thrown;
    }
  }
}

/** The lock of a data folder. Throws `records.busy` while another process has it. */
export const lockedFolder = (folder: string): ProcessLock => {
  const lock = ProcessLock.take(join(folder, "records.lock"));
  if (lock !== null) return lock;
  throw new Fault(
    "records.busy",
    `The records in ${folder} are open in another Dwellpoint. Close that one, or give this one a folder of its own.`,
    { data: { folder } },
  );
};
