import type { Kysely, Transaction } from "kysely";
import { thisStation } from "../ledger/ledger.ts";
import { sealEntries } from "../ledger/ledger-entries.ts";
import type { Tables } from "../storage/tables.ts";
import { sealLines, worthSealing } from "./run-lines.ts";

/**
 * Puts what is recorded into compact blocks, behind the back of whoever records. Nothing depends on it: what could not be
 * sealed, because the disk is full or the process was killed, stands in its rows as before, and is sealed another time.
 */
export class Sealer {
  readonly #database: Kysely<Tables>;
  /** Lines of each run that were added since it was last looked at. */
  readonly #added = new Map<number, number>();
  #entries = worthSealing;
  #working: Promise<void> = Promise.resolve();

  constructor(database: Kysely<Tables>) {
    this.#database = database;
  }

  /** Says that a run has got lines, and whether it ended with them. */
  added(number: number, lines: number, ended: boolean): void {
    // How many an earlier process left behind is not known: the first time it is looked.
    const waiting = (this.#added.get(number) ?? worthSealing) + lines;
    if (!ended && waiting < worthSealing) {
      this.#added.set(number, waiting);
      return;
    }
    if (ended) this.#added.delete(number);
    else this.#added.set(number, 0);
    this.#then((transaction) => sealLines(transaction, number, { all: ended }));
  }

  /** Says that the ledger has got entries. */
  grown(entries: number): void {
    this.#entries += entries;
    if (this.#entries < worthSealing) return;
    this.#entries = 0;
    this.#then(async (transaction) => sealEntries(transaction, await thisStation(transaction)));
  }

  /** Resolves when nothing is under way. */
  idle(): Promise<void> {
    return this.#working;
  }

  /** Goes on as long as there is something to seal, one block a transaction, so that nobody waits for long. */
  #then(seal: (transaction: Transaction<Tables>) => Promise<boolean>): void {
    const work = async (): Promise<void> => {
      try {
        while (await this.#database.transaction().execute(seal));
      } catch {
        // The rows stand as they were.
      }
    };
    this.#working = this.#working.then(work);
  }
}
