import type { Kysely, Transaction } from "kysely";
import { parseEvent, type EventDraft, type RunEvent, type RunOpened } from "#calibration";
import { Fault } from "#fault";
import { canonicalJson } from "../chain/canonical-json.ts";
import { chainStart, link } from "../chain/chain.ts";
import { insertRun } from "../register/insert-run.ts";
import { noRun } from "../register/runs.ts";
import type { Tables } from "../storage/tables.ts";
import { guarded } from "../storage/trouble.ts";
import { GroupCommit, type Share } from "./group-commit.ts";
import type { Journal } from "./journal.ts";
import { emptyLog, numberEvents } from "./number-events.ts";
import { advanceState, movingKinds, openedState, type RunState } from "./run-state.ts";

/** The end of a run's log: what the next event joins on to. */
interface Head {
  /** Number of the run in the database; null before it is opened. */
  readonly number: number | null;
  readonly events: number;
  readonly at: number;
  readonly hash: string;
  readonly state: RunState;
}

interface Request {
  readonly run: string;
  readonly drafts: readonly EventDraft[];
}

/** Rows a statement: six values each, far below the database's limit on values. */
const rowsAtOnce = 400;

const blank: Head = { number: null, ...emptyLog, hash: chainStart, state: openedState };

/**
 * Appends to the run logs of one database. Appends that come while one is being written are written together, in one
 * transaction, so that a bench with many channels pays for the disk once.
 */
export class RunLedger {
  readonly #database: Kysely<Tables>;
  readonly #place: string;
  readonly #heads = new Map<string, Head>();
  readonly #commits = new GroupCommit<Request, readonly RunEvent[]>((requests) => this.#write(requests));
  #closed = false;

  constructor(database: Kysely<Tables>, place: string) {
    this.#database = database;
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
      this.#database.transaction().execute(async (transaction) => {
        const head = await loadHead(transaction, run);
        if (head.number === null) throw noRun(run);
        await writeState(transaction, head.number, head);
      }),
    );
  }

  async #write(requests: readonly Request[]): Promise<readonly Share<readonly RunEvent[]>[]> {
    const heads = new Map<string, Head>();
    const shares: Share<readonly RunEvent[]>[] = [];
    try {
      await guarded(this.#place, () =>
        this.#database.transaction().execute(async (transaction) => {
          for (const { run, drafts } of requests) {
            const head = heads.get(run) ?? this.#heads.get(run) ?? (await loadHead(transaction, run));
            const share = numbered(head, run, drafts);
            if ("refused" in share) shares.push(share);
            else {
              heads.set(run, await writeEvents(transaction, head, share.answer));
              shares.push({ answer: share.answer.map(({ event }) => event) });
            }
          }
          for (const { number, ...head } of heads.values()) await writeState(transaction, number!, head);
        }),
      );
    } catch (thrown) {
      for (const { run } of requests) this.#heads.delete(run);
      throw thrown;
    }
    for (const [run, head] of heads) {
      if (head.state.outcome === null) this.#heads.set(run, head);
      else this.#heads.delete(run);
    }
    return shares;
  }
}

/** An event with its canonical text. */
interface Entry {
  readonly event: RunEvent;
  readonly text: string;
}

/** Who asks for what may not stand there is refused alone, before anything of it is written. */
const numbered = (head: Head, run: string, drafts: readonly EventDraft[]): Share<readonly Entry[]> => {
  try {
    return { answer: numberEvents(head, drafts, run).map((event) => ({ event, text: canonicalJson(event) })) };
  } catch (thrown) {
    return { refused: thrown };
  }
};

/** The end of a run's log as it stands in the database. */
const loadHead = async (database: Kysely<Tables>, run: string): Promise<Head> => {
  const known = await database.selectFrom("runs").select("number").where("run", "=", run).executeTakeFirst();
  if (known === undefined) return blank;
  const { number } = known;
  const last = await database
    .selectFrom("run_events")
    .select(["n", "at", "hash"])
    .where("number", "=", number)
    .orderBy("n", "desc")
    .limit(1)
    .executeTakeFirstOrThrow();
  const moving = await database
    .selectFrom("run_events")
    .select(["n", "text"])
    .where("number", "=", number)
    .where("kind", "in", movingKinds)
    .orderBy("n")
    .execute();
  const state = moving.map(({ text, n }) => parseEvent(text, n + 1)).reduce(advanceState, openedState);
  return { number, events: last.n + 1, at: last.at, hash: last.hash, state };
};

const writeEvents = async (transaction: Transaction<Tables>, head: Head, entries: readonly Entry[]): Promise<Head> => {
  const number = head.number ?? (await insertRun(transaction, entries[0]!.event as RunOpened));
  let { hash, state } = head;
  const rows = entries.map(({ event, text }) => {
    hash = link(hash, text);
    state = advanceState(state, event);
    return { number, n: event.n, kind: event.kind, at: event.at, text, hash };
  });
  for (let start = 0; start < rows.length; start += rowsAtOnce) {
    await transaction
      .insertInto("run_events")
      .values(rows.slice(start, start + rowsAtOnce))
      .execute();
  }
  const last = entries.at(-1)!.event;
  return { number, events: last.n + 1, at: last.at, hash, state };
};

/** Writes what lists show of a run. */
const writeState = async (transaction: Kysely<Tables>, number: number, head: Omit<Head, "number">): Promise<void> => {
  const columns = {
    events: head.events,
    last_at: head.at,
    head: head.hash,
    measured: head.state.measured.size,
    paused: head.state.paused ? 1 : 0,
    outcome: head.state.outcome,
  };
  await transaction
    .insertInto("run_states")
    .values({ number, ...columns, decision: null })
    .onConflict((conflict) => conflict.column("number").doUpdateSet(columns))
    .execute();
};
