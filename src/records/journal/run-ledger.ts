import type { Kysely, Transaction } from "kysely";
import { parseEvent, type EventDraft, type RunEvent, type RunOpened } from "#calibration";
import { Fault } from "#fault";
import { canonicalJson } from "../chain/canonical-json.ts";
import { chainStart, link } from "../chain/chain.ts";
import { insertRun } from "../register/insert-run.ts";
import type { Tables } from "../storage/tables.ts";
import { guarded } from "../storage/trouble.ts";
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

interface Waiting {
  readonly run: string;
  readonly drafts: readonly EventDraft[];
  resolve(events: readonly RunEvent[]): void;
  reject(reason: unknown): void;
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
  #waiting: Waiting[] = [];
  #writing: Promise<void> | null = null;

  constructor(database: Kysely<Tables>, place: string) {
    this.#database = database;
    this.#place = place;
  }

  journal(run: string): Journal {
    return { append: (drafts) => this.append(run, drafts) };
  }

  append(run: string, drafts: readonly EventDraft[]): Promise<readonly RunEvent[]> {
    if (drafts.length === 0) return Promise.resolve([]);
    return new Promise((resolve, reject) => {
      this.#waiting.push({ run, drafts, resolve, reject });
      this.#writing ??= this.#writeAll();
    });
  }

  /** Resolves when everything handed over so far is answered. */
  async idle(): Promise<void> {
    while (this.#writing !== null) await this.#writing;
  }

  async #writeAll(): Promise<void> {
    // Let everybody who appends in this turn of the loop come along.
    await new Promise((resolve) => setImmediate(resolve));
    while (this.#waiting.length > 0) {
      const batch = this.#waiting;
      this.#waiting = [];
      await this.#write(batch);
    }
    this.#writing = null;
  }

  async #write(batch: readonly Waiting[]): Promise<void> {
    const answers: (() => void)[] = [];
    const heads = new Map<string, Head>();
    try {
      await guarded(this.#place, () =>
        this.#database.transaction().execute(async (transaction) => {
          for (const waiting of batch) {
            const { run, drafts } = waiting;
            const head = heads.get(run) ?? this.#heads.get(run) ?? (await loadHead(transaction, run));
            let events: RunEvent[];
            try {
              events = numberEvents(run, head, drafts);
            } catch (thrown) {
              answers.push(() => waiting.reject(thrown));
              continue;
            }
            heads.set(run, await writeEvents(transaction, head, events));
            answers.push(() => waiting.resolve(events));
          }
          for (const [run, head] of heads) await writeState(transaction, run, head);
        }),
      );
    } catch (thrown) {
      for (const { run, reject } of batch) {
        this.#heads.delete(run);
        reject(thrown);
      }
      return;
    }
    for (const [run, head] of heads) {
      if (head.state.outcome === null) this.#heads.set(run, head);
      else this.#heads.delete(run);
    }
    for (const answer of answers) answer();
  }
}

/** The end of a run's log as it stands in the database. */
export const loadHead = async (database: Kysely<Tables>, run: string): Promise<Head> => {
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

const writeEvents = async (transaction: Transaction<Tables>, head: Head, events: readonly RunEvent[]): Promise<Head> => {
  const number = head.number ?? (await insertRun(transaction, events[0] as RunOpened));
  let { hash, state } = head;
  const rows = events.map((event) => {
    const text = canonicalJson(event);
    hash = link(hash, text);
    state = advanceState(state, event);
    return { number, n: event.n, kind: event.kind, at: event.at, text, hash };
  });
  for (let start = 0; start < rows.length; start += rowsAtOnce) {
    await transaction.insertInto("run_events").values(rows.slice(start, start + rowsAtOnce)).execute();
  }
  const last = events.at(-1)!;
  return { number, events: last.n + 1, at: last.at, hash, state };
};

/** Writes what lists show of a run, worked out from its log. */
export const writeState = async (transaction: Kysely<Tables>, run: string, head: Head): Promise<void> => {
  if (head.number === null) throw new Fault("internal", `Run ${run} has no number.`);
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
    .values({ number: head.number, ...columns, decision: null })
    .onConflict((conflict) => conflict.column("number").doUpdateSet(columns))
    .execute();
};
