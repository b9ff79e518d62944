import { mkdir } from "node:fs/promises";
import type { Database } from "better-sqlite3";
import { Kysely } from "kysely";
import { parseLog, type Job, type RunEvent, type RunOpened } from "#calibration";
import { Fault } from "#fault";
import { canonicalJson } from "./chain/canonical-json.ts";
import type { ChainCheck } from "./chain/chain.ts";
import type { Journal } from "./journal/journal.ts";
import { backupDatabase, type Backup } from "./exchange/backup.ts";
import { copyOpenDatabase, databaseFile } from "./exchange/snapshot.ts";
import { Sealer } from "./blocks/sealer.ts";
import { Ledger, type LedgerWriter } from "./ledger/ledger.ts";
import { RunLedger } from "./journal/run-ledger.ts";
import { lockedFolder, type ProcessLock } from "./process-lock.ts";
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
  type CertificateWithdrawal,
  type NewCertificate,
  withdrawCertificate,
} from "./register/certificates.ts";
import {
  instrumentHistory,
  keepInstrument,
  letInstrumentGo,
  listInstruments,
  type InstrumentEntryKept,
} from "./register/instruments.ts";
import { itemHistory, listItems, type ItemEntry } from "./register/items.ts";
import { findJob, listJobs, saveJob, type JobEntry, type SavedJob, type SaveOptions } from "./register/jobs.ts";
import { keepFinding, listFindings, type Finding, type NewFinding } from "./register/findings.ts";
import { listKit, reviseKit, type KitEntry, type KitRevision } from "./register/kit.ts";
import type { KnownInstrument, RunDecision } from "./register/recorded.ts";
import { measuredItems, type MeasuredItem } from "./register/measured-items.ts";
import { runsWithKit, usedKit, type RunsWithKitQuery, type RunWithKit, type UsedKit } from "./register/run-kit.ts";
import { logEvents, logLines, logPages, readLog, verifyRun } from "./register/run-log.ts";
import { findRun, keepDecision, listRuns, type ListedRun, type RunList, type RunQuery } from "./register/runs.ts";
import { readSetting, writeSetting } from "./register/settings.ts";
import { RecordsDialect } from "./storage/dialect.ts";
import { openDatabase } from "./storage/open-database.ts";
import type { Tables } from "./storage/tables.ts";
import { guarded, storageFault } from "./storage/trouble.ts";

export interface OpenRecordsOptions {
  /** UTC now, as a text; the machine's clock where nothing is said. */
  readonly now?: () => string;
}

/** Who enters what nobody did by hand. */
const program = "dwellpoint";

/**
 * The records of a station. Everything that writes resolves when it is on the disk, and otherwise rejects with a fault that
 * says what to do: `records.read-only` (also a full disk), `records.busy`, `records.damaged`, `records.conflict`,
 * `records.not-found`. After a rejection nothing of the call is recorded.
 */
export class Records {
  readonly folder: string;
  readonly #file: Database;
  readonly #database: Kysely<Tables>;
  readonly #ledger: Ledger;
  readonly #sealer: Sealer;
  readonly #runs: RunLedger;
  readonly #lock: ProcessLock;
  #issuing: Promise<unknown> = Promise.resolve();
  #closing: Promise<void> | null = null;

  constructor(folder: string, file: Database, lock: ProcessLock, now: () => string) {
    this.folder = folder;
    this.#file = file;
    const database = new Kysely<Tables>({ dialect: new RecordsDialect(file) });
    this.#database = database;
    this.#lock = lock;
    this.#sealer = new Sealer(database);
    this.#ledger = new Ledger(database, now, (entries) => this.#sealer.grown(entries));
    this.#runs = new RunLedger(this.#ledger, this.#sealer, folder);
  }

  /** The journal of a run, new or begun: its next event joins on where the log ends. */
  journalFor(run: string): Journal {
    return this.#runs.journal(run);
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

  /** The same page by page: a log of hours is never in memory as a whole. */
  async *logPages(run: string): AsyncGenerator<readonly RunEvent[]> {
    try {
      yield* logPages(this.#database, run);
    } catch (thrown) {
      throw storageFault(thrown, this.folder);
    }
  }

  /** Single lines of a run's log by their numbers; undefined where it has none. */
  readEvents(run: string, numbers: readonly number[]): Promise<(RunEvent | undefined)[]> {
    return this.#guard(() => logEvents(this.#database, run, numbers));
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
    await this.#runs.append(run, events);
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
  keepDecision(run: string, decision: RunDecision | null, author = program): Promise<void> {
    return this.#write((writer) => keepDecision(writer, run, decision, author));
  }

  verifyChain(run: string): Promise<ChainCheck> {
    return this.#guard(() => verifyRun(this.#database, run));
  }

  /** Works out anew from the events what lists show of a run. */
  rebuildState(run: string): Promise<void> {
    return this.#runs.rebuild(run);
  }

  /** Records a job as its next revision, with its items and kit unless it is a rehearsal. */
  saveJob(job: Job, options: SaveOptions = {}): Promise<SavedJob> {
    return this.#write((writer) => saveJob(writer, job, options));
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

  /**
   * Records a kit entry as its next revision; answers the number of that, or of the newest where it says the same. Throws
   * `input.invalid` where a field cannot stand, `records.conflict` where the name belongs to another kind of kit.
   */
  reviseKit(revised: KitRevision): Promise<number> {
    return this.#write((writer) => reviseKit(writer, revised));
  }

  /** Records what the upkeep of a kit entry found; answers its number. */
  keepFinding(finding: NewFinding): Promise<number> {
    return this.#write((writer) => keepFinding(writer, finding));
  }

  /** The findings, the newest first; only of one kit entry, and only of one kind, where they are named. */
  listFindings(entry?: string, kind?: string): Promise<Finding[]> {
    return this.#guard(() => listFindings(this.#database, entry, kind));
  }

  /** The runs that used a kit entry, in the order of their opening. */
  runsWithKit(query: RunsWithKitQuery): Promise<RunWithKit[]> {
    return this.#guard(() => runsWithKit(this.#database, query));
  }

  /** Every item that an ended run measured, by tag. */
  measuredItems(): Promise<MeasuredItem[]> {
    return this.#guard(() => measuredItems(this.#database));
  }

  /** Every revision of a kit entry that any run used, rehearsals among them. */
  usedKit(): Promise<UsedKit[]> {
    return this.#guard(() => usedKit(this.#database));
  }

  /** Records what is known of an instrument at an address, as its next revision. */
  keepInstrument(known: KnownInstrument, author = program): Promise<InstrumentEntryKept> {
    return this.#write((writer) => keepInstrument(writer, known, author));
  }

  /** Lets an instrument go; what was recorded of it stays. Throws `records.not-found`. */
  letInstrumentGo(name: string, author = program): Promise<void> {
    return this.#write((writer) => letInstrumentGo(writer, name, author));
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

  /** Records that a certificate holds no longer. Throws `records.conflict` where it was withdrawn or replaced already. */
  withdrawCertificate(withdrawal: CertificateWithdrawal): Promise<void> {
    return this.#write((writer) => withdrawCertificate(writer, withdrawal));
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

  writeSetting(name: string, value: unknown, author = program): Promise<void> {
    return this.#write((writer) => writeSetting(writer, name, value, author));
  }

  /** The name by which this station's ledger is known. */
  station(): Promise<string> {
    return this.#guard(() => this.#ledger.station());
  }

  /** Copies the records to a file while they go on; see `backupDatabase`. */
  backup(to: string): Promise<Backup> {
    return this.#guard(() => backupDatabase((part) => copyOpenDatabase(this.#file, part), to));
  }

  /** Waits for what is under way, then lets the folder go. Any number of calls. */
  close(): Promise<void> {
    this.#closing ??= this.#close();
    return this.#closing;
  }

  async #close(): Promise<void> {
    await this.#issuing;
    await this.#runs.close();
    await this.#sealer.idle();
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
    await this.#write((writer) => insertCertificate(writer, sequence, certificate, made));
    return this.readCertificate(made.number);
  }

  async #knows(run: string): Promise<boolean> {
    const row = await this.#guard(() =>
      this.#database.selectFrom("runs").select("number").where("run", "=", run).executeTakeFirst(),
    );
    return row !== undefined;
  }

  #write<T>(act: (writer: LedgerWriter) => Promise<T>): Promise<T> {
    return this.#guard(() => this.#ledger.write(act));
  }

  #guard<T>(act: () => Promise<T>): Promise<T> {
    if (this.#closing !== null)
      return Promise.reject(new Fault("run.not-allowed", `The records in ${this.folder} are closed.`));
    return guarded(this.folder, act);
  }
}

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
    const lock = lockedFolder(folder);
    try {
      const database = openDatabase(databaseFile(folder), now);
      return new Records(folder, database, lock, now);
    } catch (thrown) {
      lock.release({ remove: true });
      throw thrown;
    }
  } catch (thrown) {
    throw storageFault(thrown, folder);
  }
};
