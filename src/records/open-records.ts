import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { Kysely } from "kysely";
import { parseLog, type Job, type RunEvent, type RunOpened } from "#calibration";
import { Fault } from "#fault";
import { canonicalJson } from "./chain/canonical-json.ts";
import type { ChainCheck } from "./chain/chain.ts";
import type { Journal } from "./journal/journal.ts";
import { RunLedger } from "./journal/run-ledger.ts";
import { ProcessLock } from "./process-lock.ts";
import {
  certificateBytes,
  findCertificate,
  insertCertificate,
  listCertificates,
  nextSequence,
  type CertificateEntry,
  type CertificateKind,
  type CertificateList,
  type CertificateQuery,
  type NewCertificate,
} from "./register/certificates.ts";
import {
  instrumentHistory,
  keepInstrument,
  letInstrumentGo,
  listInstruments,
  type InstrumentEntryKept,
  type KnownInstrument,
} from "./register/instruments.ts";
import { itemHistory, listItems, type ItemEntry } from "./register/items.ts";
import { findJob, listJobs, saveJob, type JobEntry, type SavedJob, type SaveOptions } from "./register/jobs.ts";
import { listKit, type KitEntry } from "./register/kit.ts";
import { logLines, readLog, verifyRun } from "./register/run-log.ts";
import {
  findRun,
  keepDecision,
  listRuns,
  type ListedRun,
  type RunDecision,
  type RunList,
  type RunQuery,
} from "./register/runs.ts";
import { readSetting, writeSetting } from "./register/settings.ts";
import { RecordsDialect } from "./storage/dialect.ts";
import { openDatabase } from "./storage/open-database.ts";
import type { Tables } from "./storage/tables.ts";
import { guarded, storageFault } from "./storage/trouble.ts";

export interface OpenRecordsOptions {
  /** UTC now, as a text; the machine's clock where nothing is said. */
  readonly now?: () => string;
}

/**
 * The records of a station. Everything that writes resolves when it is on the disk, and otherwise rejects with a fault that
 * says what to do: `records.read-only` (also a full disk), `records.busy`, `records.damaged`, `records.conflict`,
 * `records.not-found`. After a rejection nothing of the call is recorded.
 */
export class Records {
  readonly folder: string;
  readonly #database: Kysely<Tables>;
  readonly #ledger: RunLedger;
  readonly #lock: ProcessLock;
  readonly #now: () => string;
  #issuing: Promise<unknown> = Promise.resolve();
  #closing: Promise<void> | null = null;

  constructor(folder: string, database: Kysely<Tables>, lock: ProcessLock, now: () => string) {
    this.folder = folder;
    this.#database = database;
    this.#lock = lock;
    this.#now = now;
    this.#ledger = new RunLedger(database, folder);
  }

  /** The journal of a run, new or begun: its next event joins on where the log ends. */
  journalFor(run: string): Journal {
    return this.#ledger.journal(run);
  }

  /** Opens a run with line 0 of its log. Throws `records.conflict` when there is a run of this name. */
  async openRunJournal(opened: RunOpened): Promise<Journal> {
    if (await this.#knows(opened.run)) {
      throw new Fault(
        "records.conflict",
        `Run ${opened.run} is in the records already. Give the new run a name of its own.`,
        { data: { run: opened.run } },
      );
    }
    const journal = this.journalFor(opened.run);
    await journal.append([opened]);
    return journal;
  }

  /** The journal of a run that is in the records. Throws `records.not-found`. */
  async resumeRunJournal(run: string): Promise<Journal> {
    await this.readRun(run);
    return this.journalFor(run);
  }

  /** The events of a run, checked against their hashes and their schemas. Throws `records.damaged` with the line that does not hold. */
  readLog(run: string): Promise<RunEvent[]> {
    return this.#guard(() => readLog(this.#database, run));
  }

  /** A run's log as JSON Lines, byte for byte as recorded; each line ends with a line feed. */
  async exportLog(run: string): Promise<string> {
    const lines = await this.#guard(() => logLines(this.#database, run));
    return `${lines.join("\n")}\n`;
  }

  /** Takes in a whole log from elsewhere; a log that is here already with the same lines is left alone. Answers the run's name. */
  async importLog(log: string | readonly RunEvent[]): Promise<string> {
    const events = typeof log === "string" ? parseLog(log.split("\n")) : parseLog(log.map(canonicalJson));
    const { run } = events[0] as RunOpened;
    if (await this.#knows(run)) {
      const lines = await this.#guard(() => logLines(this.#database, run));
      const same = lines.length === events.length && events.every((event, n) => canonicalJson(event) === lines[n]);
      if (same) return run;
      throw new Fault(
        "records.conflict",
        `Run ${run} is in the records already, with other lines. Nothing was taken in; compare the two logs.`,
        { data: { run } },
      );
    }
    await this.#ledger.append(run, events);
    return run;
  }

  /** Newest first. */
  listRuns(query: RunQuery = {}): Promise<RunList> {
    return this.#guard(() => listRuns(this.#database, query));
  }

  readRun(run: string): Promise<ListedRun> {
    return this.#guard(() => findRun(this.#database, run));
  }

  /** Keeps what an evaluation decided, for the lists. */
  keepDecision(run: string, decision: RunDecision | null): Promise<void> {
    return this.#guard(() => keepDecision(this.#database, run, decision));
  }

  verifyChain(run: string): Promise<ChainCheck> {
    return this.#guard(() => verifyRun(this.#database, run));
  }

  /** Works out anew from the events what lists show of a run. */
  rebuildState(run: string): Promise<void> {
    return this.#ledger.rebuild(run);
  }

  /** Records a job as its next revision, with its items and kit unless it is a rehearsal. */
  saveJob(job: Job, options: SaveOptions = {}): Promise<SavedJob> {
    return this.#guard(() =>
      this.#database.transaction().execute((transaction) => saveJob(transaction, job, this.#now(), options)),
    );
  }

  readJob(job: string): Promise<JobEntry> {
    return this.#guard(() => findJob(this.#database, job));
  }

  /** The newest revision of every job, the one saved last first. */
  listJobs(): Promise<JobEntry[]> {
    return this.#guard(() => listJobs(this.#database));
  }

  /** The newest description of every item. */
  listItems(): Promise<ItemEntry[]> {
    return this.#guard(() => listItems(this.#database));
  }

  /** Every description of one item, the newest first. */
  itemHistory(item: string): Promise<ItemEntry[]> {
    return this.#guard(() => itemHistory(this.#database, item));
  }

  /** Every revision of every kit entry, or of one. */
  listKit(entry?: string): Promise<KitEntry[]> {
    return this.#guard(() => listKit(this.#database, entry));
  }

  /** Records what is known of an instrument at an address, as its next revision. */
  keepInstrument(known: KnownInstrument): Promise<InstrumentEntryKept> {
    return this.#guard(() =>
      this.#database.transaction().execute((transaction) => keepInstrument(transaction, known, this.#now())),
    );
  }

  /** Lets an instrument go; what was recorded of it stays. Throws `records.not-found`. */
  letInstrumentGo(name: string): Promise<void> {
    return this.#guard(() =>
      this.#database.transaction().execute((transaction) => letInstrumentGo(transaction, name, this.#now())),
    );
  }

  /** The newest revision of every instrument that is kept, by name. */
  listInstruments(): Promise<InstrumentEntryKept[]> {
    return this.#guard(() => listInstruments(this.#database));
  }

  /** Every revision of one instrument, the newest first. */
  instrumentHistory(name: string): Promise<InstrumentEntryKept[]> {
    return this.#guard(() => instrumentHistory(this.#database, name));
  }

  /**
   * Issues a certificate: one at a time, so that the places in the order of issue have no gap. `make` is told the place and
   * gives number and bytes; nothing else waits for it.
   */
  addCertificate(certificate: NewCertificate): Promise<CertificateEntry> {
    const issued = this.#issuing.then(() => this.#issue(certificate));
    this.#issuing = issued.catch(() => undefined);
    return issued;
  }

  listCertificates(query: CertificateQuery = {}): Promise<CertificateList> {
    return this.#guard(() => listCertificates(this.#database, query));
  }

  readCertificate(number: string): Promise<CertificateEntry> {
    return this.#guard(() => findCertificate(this.#database, number));
  }

  certificateBytes(number: string, kind: CertificateKind): Promise<Uint8Array> {
    return this.#guard(() => certificateBytes(this.#database, number, kind));
  }

  readSetting(name: string): Promise<unknown> {
    return this.#guard(() => readSetting(this.#database, name));
  }

  writeSetting(name: string, value: unknown): Promise<void> {
    return this.#guard(() => writeSetting(this.#database, name, value));
  }

  /** Waits for what is under way, then lets the folder go. Any number of calls. */
  close(): Promise<void> {
    this.#closing ??= this.#close();
    return this.#closing;
  }

  async #close(): Promise<void> {
    await this.#issuing;
    await this.#ledger.close();
    try {
      await this.#database.destroy();
    } finally {
      this.#lock.release({ remove: true });
    }
  }

  async #issue(certificate: NewCertificate): Promise<CertificateEntry> {
    await this.readRun(certificate.run);
    const sequence = await this.#guard(() => nextSequence(this.#database));
    const made = await certificate.make(sequence);
    await this.#guard(() =>
      this.#database
        .transaction()
        .execute((transaction) => insertCertificate(transaction, sequence, certificate, made)),
    );
    return this.readCertificate(made.number);
  }

  async #knows(run: string): Promise<boolean> {
    const row = await this.#guard(() =>
      this.#database.selectFrom("runs").select("number").where("run", "=", run).executeTakeFirst(),
    );
    return row !== undefined;
  }

  #guard<T>(act: () => Promise<T>): Promise<T> {
    if (this.#closing !== null)
      return Promise.reject(new Fault("run.not-allowed", `The records in ${this.folder} are closed.`));
    return guarded(this.folder, act);
  }
}

const takeFolder = (folder: string): ProcessLock => {
  const lock = ProcessLock.take(join(folder, "records.lock"));
  if (lock !== null) return lock;
  throw new Fault(
    "records.busy",
    `The records in ${folder} are open in another Dwellpoint. Close that one, or give this one a folder of its own.`,
    {
      data: { folder },
    },
  );
};

const machineNow = (): string => new Date().toISOString();

/**
 * Opens the records in a folder, and makes both where they are not. One process has them at a time.
 *
 * @throws Fault `records.read-only` where the folder cannot be written, `records.busy` while another process has it,
 *   `records.damaged` where the database is damaged, foreign, or of a newer program; it is then left as it is
 */
export const openRecords = async (folder: string, { now = machineNow }: OpenRecordsOptions = {}): Promise<Records> => {
  try {
    await mkdir(folder, { recursive: true });
    const lock = takeFolder(folder);
    try {
      const database = openDatabase(join(folder, "records.sqlite"));
      return new Records(folder, new Kysely<Tables>({ dialect: new RecordsDialect(database) }), lock, now);
    } catch (thrown) {
      lock.release({ remove: true });
      throw thrown;
    }
  } catch (thrown) {
    throw storageFault(thrown, folder);
  }
};
