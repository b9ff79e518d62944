import type { Transaction } from "kysely";
import { parseEvent } from "#calibration";
import { link } from "../chain/chain.ts";
import { blankHead, enterEvents, writeState, type RunHead } from "../journal/run-head.ts";
import { hashOf, type LedgerEntry } from "../ledger/entry.ts";
import { project } from "../ledger/project.ts";
import { insertFiles } from "../register/certificates.ts";
import type { Tables } from "../storage/tables.ts";
import type { EntryTaker } from "./check-records.ts";
import type { CertificateFile } from "./source.ts";

/** Rows a statement: six values each, far below the database's limit on values. */
const rowsAtOnce = 400;

/**
 * Makes the tables anew from a ledger and what it names by hash, in a database that has none yet. With `tables` only what
 * follows from the ledger is made; with `records` the ledger, the logs and the certificates themselves are put there too.
 */
export class Replay implements EntryTaker {
  readonly #transaction: Transaction<Tables>;
  readonly #whole: boolean;
  readonly #heads = new Map<string, RunHead>();
  #files: { sequence: number; pdf?: Uint8Array; xml?: Uint8Array; wanted: number } | null = null;

  constructor(transaction: Transaction<Tables>, what: "tables" | "records") {
    this.#transaction = transaction;
    this.#whole = what === "records";
  }

  async entry(entry: LedgerEntry, text: string): Promise<void> {
    if (this.#whole) {
      const { station, number } = entry;
      if (number === 0) await this.#transaction.insertInto("this_station").values({ one: 1, station }).execute();
      await this.#transaction
        .insertInto("ledger")
        .values({ station, number, text, hash: hashOf(text) })
        .execute();
    }
    if (entry.kind === "certificate-issued") {
      const { sequence, files } = entry.body;
      this.#files = { sequence, wanted: files.xml === undefined ? 1 : 2 };
    }
    await project(this.#transaction, entry);
  }

  async lines(run: string, lines: readonly string[]): Promise<void> {
    const before = this.#heads.get(run) ?? blankHead;
    const events = lines.map((text, index) => parseEvent(text, before.events + index + 1));
    let { hash } = before;
    const hashes = lines.map((text) => (hash = link(hash, text)));
    const head = await enterEvents(this.#transaction, before, events, hash);
    this.#heads.set(run, head);
    await writeState(this.#transaction, head);
    if (!this.#whole) return;
    const { number } = head;
    const rows = events.map(({ n, kind, at }, index) => ({
      number,
      n,
      kind,
      at,
      text: lines[index]!,
      hash: hashes[index]!,
    }));
    for (let start = 0; start < rows.length; start += rowsAtOnce) {
      await this.#transaction
        .insertInto("run_events")
        .values(rows.slice(start, start + rowsAtOnce))
        .execute();
    }
  }

  async bytes({ kind }: CertificateFile, bytes: Uint8Array): Promise<void> {
    const files = this.#files;
    if (!this.#whole || files === null) return;
    files[kind] = bytes;
    files.wanted -= 1;
    if (files.wanted > 0) return;
    await insertFiles(this.#transaction, files.sequence, { pdf: files.pdf!, xml: files.xml });
    this.#files = null;
  }
}
