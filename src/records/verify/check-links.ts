import { chainStart } from "../chain/chain.ts";
import { hashOf, type LedgerEntry } from "../ledger/entry.ts";
import { BrokenEntry, type StoredEntry } from "../ledger/ledger-entries.ts";
import type { RecordsBreak } from "./source.ts";

/** What text says, where it is an entry; that it is the very text that was written, its hash says. */
const asEntry = (text: string): LedgerEntry | null => {
  try {
    const value: unknown = JSON.parse(text);
    if (typeof value !== "object" || value === null) return null;
    const { number, station, predecessor, at, kind, author, body } = value as Record<string, unknown>;
    const texts = [station, predecessor, at, kind, author].every((each) => typeof each === "string");
    return texts && Number.isSafeInteger(number) && typeof body === "object" && body !== null
      ? (value as LedgerEntry)
      : null;
  } catch {
    return null;
  }
};

/**
 * Follows the entries of a ledger one by one: are they numbered without a gap, is each what its successor says that it was?
 * A broken link alone does not say which side of it was changed; the next link does.
 */
export class LinkFollower {
  readonly breaks: RecordsBreak[] = [];
  readonly #holding: [number, number][] = [];
  station: string | null = null;
  entries = 0;
  head = chainStart;
  #expected = 0;
  /** The entry whose link to the one before is broken. */
  #doubtful: number | null = null;
  /** The entry behind one that was found altered by itself. */
  #forgiven: number | null = null;
  #at = "";
  readonly remarks: string[] = [];

  /** Takes the next entry; answers it where it can be trusted to be the one of its number. */
  take({ number: place, text, hash: kept }: StoredEntry): LedgerEntry | null {
    const entry = asEntry(text);
    this.entries += 1;
    if (entry === null) {
      this.#lost(place ?? Math.max(0, this.#expected), text);
      return null;
    }
    const { number, predecessor, station } = entry;
    const hash = hashOf(text);
    const inOrder = this.#order(place, number, station);
    if (kept !== null && kept !== hash) this.#alter(number);
    // The link to an entry that is known to be altered is broken anyway, and says nothing of the next.
    const joined = predecessor === this.head || this.#expected === -1 || this.#forgiven === number;
    this.#link(number, inOrder, joined);
    this.#next(number, hash, inOrder && joined && (kept === null || kept === hash));
    this.#clock(entry);
    return inOrder ? entry : null;
  }

  /** Takes a stretch of entries that cannot be read. */
  lose({ number, reason }: BrokenEntry): void {
    this.#break(number, reason);
    this.#expected = -1;
    this.#doubtful = null;
  }

  /** Compares the end with what was noted of it. */
  end(stated: { readonly entries: number; readonly head: string } | null): void {
    if (stated === null) {
      if (this.#doubtful !== null) this.#settle(true);
      return;
    }
    if (stated.entries > this.entries)
      this.#break(this.entries, `Entry ${this.entries} and what followed is missing: there were ${stated.entries}.`);
    else if (stated.entries < this.entries && this.breaks.length === 0)
      this.#break(
        stated.entries,
        `There are ${this.entries} entries, and the end of the ledger speaks of ${stated.entries}.`,
      );
    const joined = stated.head === this.head;
    if (this.#doubtful !== null) this.#settle(joined);
    else if (!joined && stated.entries <= this.entries) {
      const last = this.#expected - 1;
      this.#break(last, `Entry ${last} was changed, or the note of its hash at the end: the two do not agree.`);
    }
  }

  get holding(): readonly (readonly [number, number])[] {
    const bad = new Set(this.breaks.map(({ entry }) => entry));
    return this.#holding.flatMap(([first, last]) => {
      let [from, to] = [first, last];
      while (from <= to && bad.has(from)) from += 1;
      while (to >= from && bad.has(to)) to -= 1;
      return from <= to ? [[from, to] as const] : [];
    });
  }

  /** An entry that cannot be read as one. */
  #lost(place: number, text: string): void {
    this.#break(place, `Entry ${place} is not as it was written: it is no entry of a ledger any more.`);
    this.#doubtful = null;
    this.#next(place, hashOf(text), false);
    this.#forgiven = place + 1;
  }

  #order(place: number | null, number: number, station: string): boolean {
    this.station ??= station;
    if (station !== this.station) {
      this.#break(number, `Entry ${number} is of another station (${station}).`);
      return false;
    }
    if (place !== null && place !== number) {
      this.#break(number, `Entry ${number} is filed under the number ${place}.`);
      return false;
    }
    if (this.#expected !== -1 && number !== this.#expected) {
      const expected = this.#expected;
      this.#break(expected, `Entry ${expected} is missing or out of place; entry ${number} stands there.`);
      return false;
    }
    return true;
  }

  #link(number: number, inOrder: boolean, joined: boolean): void {
    if (this.#doubtful !== null) this.#settle(joined);
    if (inOrder && !joined) this.#doubtful = number;
  }

  /** Says which of two entries was changed, now that the link behind the second is known. */
  #settle(joined: boolean): void {
    const number = this.#doubtful!;
    this.#doubtful = null;
    const changed = joined && number > 0 ? number - 1 : number;
    if (this.breaks.some(({ entry }) => entry === changed)) return;
    this.#break(
      changed,
      `Entry ${changed} was changed, or exchanged for another: entry ${number} does not join on to it.`,
    );
  }

  #next(number: number, hash: string, holds: boolean): void {
    const stretch = this.#holding.at(-1);
    if (holds && stretch?.[1] === number - 1) stretch[1] = number;
    else this.#holding.push([number, number]);
    this.head = hash;
    this.#expected = number + 1;
  }

  #alter(number: number): void {
    this.#break(number, `Entry ${number} was changed: its text does not give the hash that was kept of it.`);
    this.#forgiven = number + 1;
  }

  #clock({ number, at, kind }: LedgerEntry): void {
    if (kind === "clock-stepped-back")
      this.remarks.push(
        `Before entry ${number} the clock of the station was found to have gone back, from ${this.#at} to ${at}. The order of the entries is that of their numbers.`,
      );
    this.#at = at;
  }

  #break(entry: number, sentence: string): void {
    this.breaks.push({ entry, sentence });
  }
}
