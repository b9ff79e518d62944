import type { Brought, BroughtEntry } from "../brought.ts";

const same = (one: string | null | undefined, other: string | null | undefined): boolean =>
  one !== null && one !== undefined && other !== null && other !== undefined
    ? one.trim().toLowerCase() === other.trim().toLowerCase()
    : false;

/** How sure it is that an entry is the probe: by its data sheet, by the serial number, by the name on the label. */
export const matchWays = ["data-sheet", "serial", "name"] as const;
export type MatchWay = (typeof matchWays)[number];

export interface EntryMatch {
  readonly entry: BroughtEntry;
  readonly by: MatchWay;
}

const wayOf = (brought: Pick<Brought, "identity" | "entry">, { entry }: BroughtEntry): MatchWay | null => {
  if (same(brought.identity.dataSheet, entry.dataSheet)) return "data-sheet";
  if (same(brought.identity.serial, entry.serial)) return "serial";
  return brought.entry !== null && brought.entry.entry.id === entry.id ? "name" : null;
};

/**
 * The kit entry that this probe is, of the newest revisions of all; null where none is, or where several are equally likely:
 * then a person says which.
 */
export const matchingEntry = (
  brought: Pick<Brought, "identity" | "entry">,
  entries: readonly BroughtEntry[],
): EntryMatch | null => {
  for (const by of matchWays) {
    const found = entries.filter((entry) => wayOf(brought, entry) === by);
    if (found.length > 0) return found.length === 1 ? { entry: found[0]!, by } : null;
  }
  return null;
};
