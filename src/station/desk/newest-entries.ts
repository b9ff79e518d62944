import type { BroughtEntry } from "#intake";
import type { KitEntry } from "#records";

/** A recorded revision as an entry by itself. */
export const asEntry = ({ kind, entry }: KitEntry): BroughtEntry => ({ kind, entry }) as BroughtEntry;

/** The newest revision of every entry; the records list each entry's newest first. */
export const newestEntries = (all: readonly KitEntry[]): readonly BroughtEntry[] =>
  all.filter(({ entry }, index) => all[index - 1]?.entry.id !== entry.id).map(asEntry);
