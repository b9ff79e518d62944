import type { Brought, BroughtEntry } from "../brought.ts";
import { checkEntry, type EntryCheck } from "./check-entry.ts";
import { differencesBetween, effectsBetween, type Difference, type Effect } from "./differences.ts";
import { matchingEntry, type MatchWay } from "./matching-entry.ts";
import { proposeEntry, type Answers, type MissingField } from "./propose-entry.ts";

/** What is to be looked at before a revision is approved. */
export interface Proposal {
  /** The entry as it would be recorded; null while something is missing. Its revision is given by the records. */
  readonly entry: BroughtEntry | null;
  /** The newest revision of the entry that this is; null for a new one. */
  readonly known: BroughtEntry | null;
  readonly by: MatchWay | null;
  readonly missing: readonly MissingField[];
  readonly checks: readonly EntryCheck[];
  readonly differences: readonly Difference[];
  readonly effects: readonly Effect[];
  readonly notes: readonly string[];
  /** Whether it says what the newest revision says already. */
  readonly unchanged: boolean;
  readonly approvable: boolean;
}

export interface ProposalInput {
  readonly brought: Brought;
  /** The newest revision of every kit entry. */
  readonly entries: readonly BroughtEntry[];
  /** Calendar day, year-month-day. */
  readonly today: string;
  readonly answers?: Answers;
  /** The entry that a person says it is; `null` for a new one; found by its identity where nothing is said. */
  readonly is?: string | null;
}

const knownEntry = ({ brought, entries, is }: ProposalInput): { known: BroughtEntry | null; by: MatchWay | null } => {
  const match = matchingEntry(brought, entries);
  if (is === null) return { known: null, by: null };
  if (is === undefined) return { known: match?.entry ?? null, by: match?.by ?? null };
  const named = entries.find(({ entry }) => entry.id === is) ?? null;
  return { known: named, by: named !== null && match?.entry === named ? match.by : null };
};

/** What was brought as a revision of the kit: the entry that would be recorded, what is missing, what changes, what was checked. */
export const propose = (input: ProposalInput): Proposal => {
  const { brought, today, answers } = input;
  const { known, by } = knownEntry(input);
  const { entry, missing, notes } = proposeEntry(brought, known, answers);
  const checks = entry === null ? [] : checkEntry(brought, entry, { today, known, by });
  const differences = entry === null || known === null ? [] : differencesBetween(known, entry);
  const unchanged = entry !== null && known !== null && differences.length === 0;
  return {
    entry,
    known,
    by,
    missing,
    checks,
    differences,
    effects: entry === null || known === null ? [] : effectsBetween(known, entry),
    notes: [...brought.notes, ...notes],
    unchanged,
    approvable: entry !== null && !unchanged && checks.every(({ state }) => state !== "fails"),
  };
};
