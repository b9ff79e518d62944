import { createHash } from "node:crypto";
import type { EntryOf, LedgerEntry } from "../ledger/entry.ts";
import { BrokenEntry } from "../ledger/ledger-entries.ts";
import { LinkFollower } from "./check-links.ts";
import { LogFollower } from "./check-logs.ts";
import type { CertificateFile, RecordsBreak, RecordsCheck, RecordsSource } from "./source.ts";

/** What is done with each entry that holds, on the way: the lines of a log that it speaks of, the bytes of a certificate. */
export interface EntryTaker {
  entry(entry: LedgerEntry, text: string): Promise<void>;
  lines(run: string, lines: readonly string[]): Promise<void>;
  bytes(file: CertificateFile, bytes: Uint8Array): Promise<void>;
}

const nobody: EntryTaker = {
  entry: () => Promise.resolve(),
  lines: () => Promise.resolve(),
  bytes: () => Promise.resolve(),
};

/** Compares the files of certificates with the hashes in the ledger. */
class CertificateFollower {
  readonly breaks: RecordsBreak[] = [];
  readonly seen: (CertificateFile & { holds: boolean })[] = [];
  readonly #source: RecordsSource;
  readonly #taker: EntryTaker;

  constructor(source: RecordsSource, taker: EntryTaker) {
    this.#source = source;
    this.#taker = taker;
  }

  async follow({ number: entry, body }: EntryOf<"certificate-issued">, logs: LogFollower): Promise<void> {
    const { number, run, lines, head, files } = body;
    const reached = logs.reached(run);
    if (reached !== null && (reached.lines !== lines || reached.hash !== head)) {
      const sentence = `Certificate ${number} was issued on ${lines} lines of the log of run ${run}, which are not those of the ledger.`;
      this.breaks.push({ entry, run, certificate: number, sentence });
    }
    for (const kind of ["pdf", "xml"] as const) {
      const kept = files[kind];
      if (kept !== undefined) await this.#compare(entry, { number, kind }, kept);
    }
  }

  async #compare(entry: number, file: CertificateFile, kept: string): Promise<void> {
    const bytes = await this.#source.bytes(file);
    const holds = bytes !== null && createHash("sha256").update(bytes).digest("hex") === kept;
    this.seen.push({ ...file, holds });
    if (holds) {
      await this.#taker.bytes(file, bytes);
      return;
    }
    const what = bytes === null ? "is missing" : "was changed since it was issued";
    const sentence = `The ${file.kind.toUpperCase()} of certificate ${file.number} ${what}.`;
    this.breaks.push({ entry, certificate: file.number, sentence });
  }

  end(files: readonly CertificateFile[]): void {
    const known = new Set(this.seen.map(({ number, kind }) => `${kind} ${number}`));
    for (const { number, kind } of files) {
      if (known.has(`${kind} ${number}`)) continue;
      const sentence = `There is a ${kind.toUpperCase()} of a certificate ${number}, and the ledger knows nothing of it.`;
      this.breaks.push({ entry: null, certificate: number, sentence });
    }
  }
}

/** Breaks that are told one by one; more are counted. */
const mostTold = 100;

/**
 * Checks records from their ledger: its entries, the lines of the logs and the bytes of the certificates that these name by
 * hash. Any byte of them that was changed, removed, added or put elsewhere breaks the check, at the entry that is named.
 */
export const checkRecords = async (source: RecordsSource, taker: EntryTaker = nobody): Promise<RecordsCheck> => {
  const links = new LinkFollower();
  const logs = new LogFollower(source, (run, lines) => taker.lines(run, lines));
  const certificates = new CertificateFollower(source, taker);
  const [runs, files] = [await source.runs(), await source.files()];
  for await (const page of source.entries()) {
    if (page instanceof BrokenEntry) {
      links.lose(page);
      continue;
    }
    for (const stored of page) {
      const entry = links.take(stored);
      if (entry === null) continue;
      await taker.entry(entry, stored.text);
      if (entry.kind === "run-events" && runs !== null) await logs.follow(entry);
      if (entry.kind === "certificate-issued" && files !== null) await certificates.follow(entry, logs);
    }
  }
  links.end(await source.end());
  // What an entry that was changed or lost speaks of cannot be told from what nobody speaks of.
  if (links.breaks.length === 0) {
    await logs.end(runs ?? []);
    certificates.end(files ?? []);
  }
  await logs.close();
  const breaks = [...links.breaks, ...logs.breaks, ...certificates.breaks];
  return {
    holds: breaks.length === 0,
    station: links.station,
    entries: links.entries,
    head: links.head,
    breaks: breaks.slice(0, mostTold),
    holding: links.holding,
    runs: logs.runs,
    certificates: certificates.seen,
    remarks: [
      ...links.remarks,
      ...(runs === null ? ["The logs of the runs were not given; only the ledger was checked."] : []),
      ...(breaks.length > mostTold ? [`${breaks.length - mostTold} more places do not hold.`] : []),
    ],
  };
};
