import { createHash } from "node:crypto";
import type { Job } from "#calibration";
import { canonicalJson } from "../chain/canonical-json.ts";
import type { InstrumentRevision, ItemDescription, KitEntryBody, RunDecision } from "../register/recorded.ts";

export const ledgerFormat = "dwellpoint-ledger/1";

/** Where a record was taken over from an older version: when it was saved first. */
interface Since {
  readonly saved?: string | undefined;
}

/** What the entries of a ledger say, by kind. */
export interface EntryBodies {
  "ledger-begun": { readonly format: typeof ledgerFormat };
  "job-revised": Since & { readonly job: Job; readonly revision: number; readonly source: string | null };
  "item-revised": Since & { readonly item: ItemDescription; readonly revision: number };
  "kit-revised": Since & KitEntryBody;
  "finding-kept": {
    readonly number: number;
    readonly entry: string;
    readonly kind: string;
    readonly at: string;
    readonly document: unknown;
  };
  "instrument-kept": InstrumentRevision;
  /** Lines `from` to `to` of a run's log, both included, by the hash of the last: it holds all lines up to there. */
  "run-events": { readonly run: string; readonly from: number; readonly to: number; readonly head: string };
  "run-judged": { readonly run: string; readonly decision: RunDecision | null };
  "certificate-issued": {
    readonly sequence: number;
    readonly number: string;
    readonly run: string;
    readonly issued: string;
    readonly decision: RunDecision | null;
    readonly lines: number;
    readonly head: string;
    /** SHA-256 of each file. */
    readonly files: { readonly pdf: string; readonly xml?: string | undefined };
    readonly terms?: unknown;
    readonly amends?: string | undefined;
    /** Who authorised it, where it was taken over from an older version; else the author did. */
    readonly authorisedBy?: string | undefined;
  };
  "certificate-withdrawn": { readonly number: string; readonly at: string };
  "setting-changed": { readonly name: string; readonly value: unknown };
  /** The machine's clock was found before the time of the entry above. The order of the entries is that of their numbers. */
  "clock-stepped-back": { readonly from: string; readonly to: string };
  /** The records were brought from elsewhere: what they held then. */
  "records-taken-up": { readonly how: "restored" | "imported"; readonly entries: number; readonly head: string };
}

export type EntryKind = keyof EntryBodies;

export type EntryDraft = {
  [Kind in EntryKind]: {
    readonly kind: Kind;
    readonly author: string;
    readonly reason?: string | undefined;
    readonly body: EntryBodies[Kind];
  };
}[EntryKind];

/** Where an entry stands: behind which, in whose ledger, and when (UTC) it was made. */
export interface EntryPlace {
  readonly station: string;
  readonly number: number;
  readonly at: string;
  /** Hash of the entry before; 64 zeros for the first. */
  readonly predecessor: string;
}

/** An entry of the ledger. Its text is its canonical JSON (RFC 8785), its hash the SHA-256 of that. */
export type LedgerEntry = EntryDraft & EntryPlace;

/** An entry of one kind. */
export type EntryOf<Kind extends EntryKind> = Extract<EntryDraft, { kind: Kind }> & EntryPlace;

export interface WrittenEntry {
  readonly entry: LedgerEntry;
  readonly text: string;
  readonly hash: string;
}

export const hashOf = (text: string): string => createHash("sha256").update(text, "utf8").digest("hex");

/** The entry that a draft becomes at its place. */
export const writeEntry = (draft: EntryDraft, place: EntryPlace): WrittenEntry => {
  const entry: LedgerEntry = { ...draft, ...place };
  const text = canonicalJson(entry);
  return { entry, text, hash: hashOf(text) };
};
