import type { Kysely, Transaction } from "kysely";
import { parseEvent, type EventDraft, type RunEvent, type RunOpened } from "#calibration";
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

  constructor(database: Kysely<Tables>, place: string) {
    this.#database = database;
    this.#place = place;
  }

  journal(run: string): Journal {
    return { append: (drafts) => this.append(run, drafts) };
  }

  async append(run: string, drafts: readonly EventDraft[]): Promise<readonly RunEvent[]> {
    return drafts.length === 0 ? [] : this.#commits.add({ run, drafts });
  }

  /** Resolves when everything handed over so far is answered. */
  idle(): Promise<void> {
    return this.#commits.idle();
  }

  /** Works out anew what lists show of a run. Throws `records.not-found`. */
  async rebuild(run: string): Promise<void> {
    await this.idle();
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
            if ("answer" in share) heads.set(run, await writeEvents(transaction, head, share.answer));
            shares.push(share);
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

/** Who asks for what may not stand there is refused alone, before anything of it is written. */
const numbered = (head: Head, run: string, drafts: readonly EventDraft[]): Share<readonly RunEvent[]> => {
  try {
    return { answer: numberEvents(head, drafts, run) };
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
