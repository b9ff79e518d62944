import type { Decision, Item, Readout, Reference, Source } from "#calibration";

/*
 * What the ledger's entries and the tables both hold. It stands here by itself, because the entries are made from it and the tables
 * are made from the entries.
 */

/** What an item is, without what belongs to one visit: the channel it was read on, the condition it was found in. */
export type ItemDescription = Omit<Item, "channel" | "condition">;

/** An instrument as it was found: by which entry it is spoken to, where it is, what it said of itself and when (UTC). */
export interface KnownInstrument {
  readonly name: string;
  readonly entry: string;
  readonly role: "readout" | "source" | "item";
  readonly at: string;
  readonly said: string;
  readonly answered: string;
}

export interface InstrumentRevision extends KnownInstrument {
  readonly revision: number;
  /** False where it was let go with this revision. */
  readonly kept: boolean;
}

/** A kit entry: what it is, and its figures. On which channel a reference is read belongs to a job. */
export type KitEntryBody =
  | { readonly kind: "reference"; readonly entry: Omit<Reference, "channel"> }
  | { readonly kind: "readout"; readonly entry: Readout }
  | { readonly kind: "source"; readonly entry: Source };

/** The worst decision of a run, as it stands in a list. */
export type RunDecision = Decision;
