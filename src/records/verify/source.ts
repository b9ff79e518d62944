import type { BrokenLine } from "../blocks/run-lines.ts";
import type { BrokenEntry, StoredEntry } from "../ledger/ledger-entries.ts";
import type { CertificateKind } from "../register/certificates.ts";

/** What is stored beside the ledger, wherever that is: in a database, or in the files of an export. */
export interface RecordsSource {
  /** The entries in their order, page by page. */
  entries(): AsyncIterable<readonly StoredEntry[] | BrokenEntry>;
  /** What the source itself says of the end of the ledger; null where it says nothing. */
  end(): Promise<{ readonly entries: number; readonly head: string } | null>;
  /** The runs whose logs are there; null where no logs were given at all. */
  runs(): Promise<readonly string[] | null>;
  /** The lines of a log from its first, page by page; none where there is no such log. */
  lines(run: string): AsyncIterable<readonly string[] | BrokenLine>;
  /** The files of certificates that are there; null where none were given at all. */
  files(): Promise<readonly CertificateFile[] | null>;
  bytes(file: CertificateFile): Promise<Uint8Array | null>;
}

export interface CertificateFile {
  readonly number: string;
  readonly kind: CertificateKind;
}

/** A place where the records do not hold, and why. */
export interface RecordsBreak {
  /** The entry of the ledger, or null where it is something beside it. */
  readonly entry: number | null;
  readonly run?: string | undefined;
  /** The line of the run's log, from 1. */
  readonly line?: number | undefined;
  readonly certificate?: string | undefined;
  readonly sentence: string;
}

/** What holds of records, and what does not. */
export interface RecordsCheck {
  readonly holds: boolean;
  readonly station: string | null;
  /** Entries of the ledger that were found, and the hash of the last of them. */
  readonly entries: number;
  readonly head: string;
  readonly breaks: readonly RecordsBreak[];
  /** Which entries still join on to one another, each as its first and its last. */
  readonly holding: readonly (readonly [number, number])[];
  readonly runs: readonly { readonly run: string; readonly lines: number; readonly holds: boolean }[];
  readonly certificates: readonly (CertificateFile & { readonly holds: boolean })[];
  /** What is no break and worth knowing: a clock that went back, logs that were not given. */
  readonly remarks: readonly string[];
}
