import type { EventDraft, RunEvent } from "#calibration";
import { Fault } from "#fault";
import type { Sealer } from "../blocks/sealer.ts";
import { canonicalJson } from "../chain/canonical-json.ts";
import { link } from "../chain/chain.ts";
import type { Ledger, LedgerWriter } from "../ledger/ledger.ts";
import { noRun } from "../register/runs.ts";
import { guarded } from "../storage/trouble.ts";
import { GroupCommit, type Share } from "./group-commit.ts";
import type { Journal } from "./journal.ts";
import { numberEvents } from "./number-events.ts";
import { enterEvents, loadHead, writeState, type RunHead } from "./run-head.ts";

interface Request {
  readonly run: string;
  readonly drafts: readonly EventDraft[];
}

/** Rows a statement: six values each, far below the database's limit on values. */
const rowsAtOnce = 400;

/**
 * Appends to the run logs of one database. Appends that come while one is being written are written together, in one
 * transaction, so that a bench with many channels pays for the disk once. The ledger takes what one transaction brings to a
 * run as one entry.
 */
export class RunLedger {
  readonly #ledger: Ledger;
  readonly #sealer: Sealer;
  readonly #place: string;
  readonly #heads = new Map<string, RunHead>();
  readonly #commits = new GroupCommit<Request, readonly RunEvent[]>((requests) => this.#write(requests));
  #closed = false;

  constructor(ledger: Ledger, sealer: Sealer, place: string) {
    this.#ledger = ledger;
    this.#sealer = sealer;
    this.#place = place;
  }

  journal(run: string): Journal {
    return { append: (drafts) => this.append(run, drafts) };
  }

  async append(run: string, drafts: readonly EventDraft[]): Promise<readonly RunEvent[]> {
    if (this.#closed)
      throw new Fault(
        "run.not-allowed",
        `The records in ${this.#place} are closed: nothing more can be appended to run ${run}.`,
      );
    return drafts.length === 0 ? [] : this.#commits.add({ run, drafts });
  }

  /** Takes nothing more, and resolves when everything handed over so far is answered. */
  close(): Promise<void> {
    this.#closed = true;
    return this.#commits.idle();
  }

  /** Works out anew what lists show of a run. Throws `records.not-found`. */
  async rebuild(run: string): Promise<void> {
    await this.#commits.idle();
    await guarded(this.#place, () =>
      this.#ledger.write(async ({ database }) => {
        const head = await loadHead(database, run);
        if (head.number === null) throw noRun(run);
        await writeState(database, head);
      }),
    );
  }

  async #write(requests: readonly Request[]): Promise<readonly Share<readonly RunEvent[]>[]> {
    const heads = new Map<string, RunHead>();
    const before = new Map<string, RunHead>();
    const shares: Share<readonly RunEvent[]>[] = [];
    try {
      await guarded(this.#place, () =>
        this.#ledger.write(async (writer) => {
          for (const { run, drafts } of requests) {
            const head = heads.get(run) ?? this.#heads.get(run) ?? (await loadHead(writer.database, run));
            const share = numbered(head, run, drafts);
            if ("refused" in share) shares.push(share);
            else {
              if (!before.has(run)) before.set(run, head);
              heads.set(run, await writeEvents(writer, head, share.answer));
              shares.push({ answer: share.answer.map(({ event }) => event) });
            }
          }
          for (const [run, head] of heads) await enterRun(writer, run, before.get(run)!.events, head);
        }),
      );
    } catch (thrown) {
      for (const { run } of requests) this.#heads.delete(run);
      throw thrown;
    }
    for (const [run, head] of heads) {
      const ended = head.state.outcome !== null;
      if (ended) this.#heads.delete(run);
      else this.#heads.set(run, head);
      this.#sealer.added(head.number!, head.events - before.get(run)!.events, ended);
    }
    return shares;
  }
}

/** What the ledger and the lists are told of a run that has got lines. */
const enterRun = async (writer: LedgerWriter, run: string, from: number, head: RunHead): Promise<void> => {
  await writeState(writer.database, head);
  const body = { run, from, to: head.events - 1, head: head.hash };
  await writer.enter({ kind: "run-events", author: head.technician, body });
};

/** An event with its canonical text. */
interface Entry {
  readonly event: RunEvent;
  readonly text: string;
}

/** Who asks for what may not stand there is refused alone, before anything of it is written. */
const numbered = (head: RunHead, run: string, drafts: readonly EventDraft[]): Share<readonly Entry[]> => {
  try {
    return { answer: numberEvents(head, drafts, run).map((event) => ({ event, text: canonicalJson(event) })) };
  } catch (thrown) {
    return { refused: thrown };
  }
};

const writeEvents = async (writer: LedgerWriter, head: RunHead, entries: readonly Entry[]): Promise<RunHead> => {
  let { hash } = head;
  const hashes = entries.map(({ text }) => (hash = link(hash, text)));
  const events = entries.map(({ event }) => event);
  const after = await enterEvents(writer.database, head, events, hash);
  const { number } = after;
  const rows = entries.map(({ event: { n, kind, at }, text }, index) => ({
    number,
    n,
    kind,
    at,
    text,
    hash: hashes[index]!,
  }));
  for (let start = 0; start < rows.length; start += rowsAtOnce) {
    await writer.database
      .insertInto("run_events")
      .values(rows.slice(start, start + rowsAtOnce))
      .execute();
  }
  return after;
};
