import type { Kysely, Transaction } from "kysely";
import { parseEvent, type RunEvent, type RunOpened } from "#calibration";
import { Fault } from "#fault";
import { BrokenLine, runLines } from "../blocks/run-lines.ts";
import { chainStart } from "../chain/chain.ts";
import { insertRun } from "../register/insert-run.ts";
import { insertRunKit } from "../register/run-kit.ts";
import type { Tables } from "../storage/tables.ts";
import { emptyLog } from "./number-events.ts";
import { advanceState, movingKinds, openedState, type RunState } from "./run-state.ts";

/** The end of a run's log: what the next event joins on to. */
export interface RunHead {
  /** Number of the run in the database; null before it is opened. */
  readonly number: number | null;
  readonly events: number;
  readonly at: number;
  readonly hash: string;
  readonly state: RunState;
  /** Who carries the run out. */
  readonly technician: string;
}

export const blankHead: RunHead = {
  number: null,
  ...emptyLog,
  hash: chainStart,
  state: openedState,
  technician: "",
};

const moving = new RegExp(`"kind":"(?:${movingKinds.join("|")})"`);

/** The end of a run's log as it stands in the database. Throws `records.damaged` where it does not hold. */
export const loadHead = async (database: Kysely<Tables>, run: string): Promise<RunHead> => {
  const known = await database
    .selectFrom("runs")
    .select(["number", "technician"])
    .where("run", "=", run)
    .executeTakeFirst();
  if (known === undefined) return blankHead;
  let head: RunHead = { ...blankHead, ...known };
  for await (const page of runLines(database, known.number)) {
    if (page instanceof BrokenLine) throw brokenLog(run, page);
    const state = page
      .filter(({ text }) => moving.test(text))
      .map(({ text, n }) => parseEvent(text, n + 1))
      .reduce(advanceState, head.state);
    const last = page.at(-1)!;
    head = { ...head, events: last.n + 1, hash: last.hash, state, at: (JSON.parse(last.text) as { at: number }).at };
  }
  return head;
};

/** Says that a log does not hold, and what to do. */
export const brokenLog = (run: string, { n, reason }: BrokenLine): Fault =>
  new Fault(
    "records.damaged",
    `Line ${n + 1} of the log of run ${run} is not as it was recorded. ${reason} Do not use it; restore the records from the last good copy.`,
    { data: { run, line: n + 1, holds: n } },
  );

/** What the tables show of events that join on to a head: the run itself where they open it, and with what it is made. */
export const enterEvents = async (
  transaction: Transaction<Tables>,
  head: RunHead,
  events: readonly RunEvent[],
  hash: string,
): Promise<RunHead & { readonly number: number }> => {
  const opened = head.number === null ? (events[0] as RunOpened) : null;
  const number = opened === null ? head.number! : await insertRun(transaction, opened);
  await insertRunKit(transaction, number, events);
  const last = events.at(-1)!;
  return {
    number,
    events: last.n + 1,
    at: last.at,
    hash,
    state: events.reduce(advanceState, head.state),
    technician: opened?.job.technician ?? head.technician,
  };
};

/** Writes what lists show of a run. */
export const writeState = async (transaction: Kysely<Tables>, head: RunHead): Promise<void> => {
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
    .values({ number: head.number!, ...columns, decision: null })
    .onConflict((conflict) => conflict.column("number").doUpdateSet(columns))
    .execute();
};
