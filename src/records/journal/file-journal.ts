import { constants } from "node:fs";
import { open, type FileHandle } from "node:fs/promises";
import { dirname, resolve } from "node:path";
import type { EventDraft, RunEvent } from "#calibration";
import { Fault } from "#fault";
import { ProcessLock } from "../process-lock.ts";
import { storageFault } from "../storage/trouble.ts";
import { GroupCommit, type Share } from "./group-commit.ts";
import type { LogEnd } from "./number-events.ts";
import { readLogFile, type LogFile, type TakeEvent } from "./read-log-file.ts";
import { shareNumbers } from "./share-numbers.ts";

/** A run log in a file of its own, as JSON Lines; each line is the canonical text of one event. */
export interface FileJournal {
  /** Lines of the log so far: those that stood in the file when it was opened, and those that were appended since. */
  readonly lines: number;
  /**
   * Numbers the events and writes them. Resolves when they are safe against a crash of program and machine; what is
   * asked for meanwhile goes together into the next write. Rejects with `records.read-only` when the disk is full or
   * cannot be written, with `log.invalid` when an event may not stand there; then nothing of this call was appended.
   */
  append(drafts: readonly EventDraft[]): Promise<readonly RunEvent[]>;
  /** Waits for what is under way, then lets the file go. Any number of calls. */
  close(): Promise<void>;
}

const syncFolder = async (folder: string): Promise<void> => {
  // Elsewhere than POSIX a folder cannot be opened; its entries are then safe with the file itself.
  if (process.platform === "win32") return;
  const handle = await open(folder, constants.O_RDONLY | constants.O_DIRECTORY);
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
};

const writeAll = async (file: FileHandle, bytes: Uint8Array, position: number): Promise<void> => {
  let done = 0;
  while (done < bytes.length) {
    const { bytesWritten } = await file.write(bytes, done, bytes.length - done, position + done);
    done += bytesWritten;
  }
};

class OpenFileJournal implements FileJournal {
  readonly #path: string;
  readonly #file: FileHandle;
  readonly #lock: ProcessLock;
  readonly #commits = new GroupCommit<readonly EventDraft[], readonly RunEvent[]>((requests) => this.#write(requests));
  #run: string | null;
  #end: LogEnd;
  /** Bytes that are known to be safe; what lies beyond was never acknowledged. */
  #length: number;
  #clean = true;
  #closing: Promise<void> | null = null;

  constructor(path: string, file: FileHandle, lock: ProcessLock, log: LogFile) {
    this.#path = path;
    this.#file = file;
    this.#lock = lock;
    this.#length = log.length;
    this.#run = log.opened?.run ?? null;
    this.#end = log.end;
  }

  get lines(): number {
    return this.#end.events;
  }

  append(drafts: readonly EventDraft[]): Promise<readonly RunEvent[]> {
    if (drafts.length === 0) return Promise.resolve([]);
    if (this.#closing !== null) {
      return Promise.reject(
        new Fault("run.not-allowed", `The run log ${this.#path} is closed: nothing more can be appended.`),
      );
    }
    return this.#commits.add(drafts);
  }

  close(): Promise<void> {
    this.#closing ??= this.#close();
    return this.#closing;
  }

  async #close(): Promise<void> {
    await this.#commits.idle();
    try {
      if (!this.#clean) await this.#file.truncate(this.#length);
    } finally {
      await this.#file.close();
      this.#lock.release({ remove: true });
    }
  }

  async #write(requests: readonly (readonly EventDraft[])[]): Promise<readonly Share<readonly RunEvent[]>[]> {
    const { shares, events, texts, end } = shareNumbers(this.#run, this.#end, requests);
    if (texts.length === 0) return shares;
    const bytes = Buffer.from(texts.map((text) => `${text}\n`).join(""));
    try {
      await this.#prepare();
      this.#clean = false;
      await writeAll(this.#file, bytes, this.#length);
      await this.#file.datasync();
    } catch (thrown) {
      await this.#cutBack();
      throw storageFault(thrown, this.#path);
    }
    this.#clean = true;
    this.#length += bytes.length;
    this.#end = end;
    const [opened] = events;
    if (opened?.kind === "run-opened") this.#run = opened.run;
    return shares;
  }

  /** The file is there and is as this journal left it. */
  async #prepare(): Promise<void> {
    if (!this.#clean) {
      await this.#file.truncate(this.#length);
      this.#clean = true;
    }
    const { size, nlink } = await this.#file.stat();
    if (nlink > 0 && size === this.#length) return;
    const what = nlink === 0 ? "was removed" : "was changed by another program";
    throw new Fault(
      "records.conflict",
      `The run log ${this.#path} ${what} while the run goes on. Put it back as it was, then open it again.`,
      {
        data: { path: this.#path },
      },
    );
  }

  async #cutBack(): Promise<void> {
    if (this.#clean) return;
    try {
      await this.#file.truncate(this.#length);
      this.#clean = true;
    } catch {
      // Not even that works now; it is tried again before the next write, and the reader of a log cuts a torn line too.
      this.#clean = false;
    }
  }
}

const openFile = async (path: string): Promise<{ file: FileHandle; created: boolean }> => {
  try {
    return { file: await open(path, constants.O_RDWR | constants.O_CREAT | constants.O_EXCL, 0o644), created: true };
  } catch (thrown) {
    if (!(thrown instanceof Error && "code" in thrown && thrown.code === "EEXIST")) throw thrown;
    return { file: await open(path, constants.O_RDWR), created: false };
  }
};

const readOpened = async (path: string, file: FileHandle, created: boolean, take: TakeEvent): Promise<FileJournal> => {
  const lock = ProcessLock.take(`${path}.lock`);
  if (lock === null) {
    throw new Fault(
      "records.busy",
      `The run log ${path} is being written by another process. Let that run end, or name another file.`,
      {
        data: { path },
      },
    );
  }
  try {
    if (created) {
      await file.sync();
      await syncFolder(dirname(path));
    }
    return new OpenFileJournal(path, file, lock, await readLogFile(path, file, take));
  } catch (thrown) {
    lock.release({ remove: true });
    throw thrown;
  }
};

/**
 * Opens a run log for appending, and makes it where there is none; its first event must then be `run-opened`. A last line
 * that a crash tore is cut off: it was never acknowledged. While it is open nobody else can open it (beside it stands
 * `PATH.lock`, which goes at closing). `take` is given the events that stand in the file already, one by one as they are
 * read: a log of hours is never in memory as a whole.
 *
 * @throws Fault `records.read-only` where the file cannot be written, `records.busy` while somebody writes it,
 *   `log.invalid` where something else than a run log stands there; that is then left as it is
 */
export const openFileJournal = async (path: string, take: TakeEvent = () => undefined): Promise<FileJournal> => {
  const whole = resolve(path);
  try {
    const { file, created } = await openFile(whole);
    try {
      return await readOpened(whole, file, created, take);
    } catch (thrown) {
      await file.close();
      throw thrown;
    }
  } catch (thrown) {
    throw storageFault(thrown, whole);
  }
};
