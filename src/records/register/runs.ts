import { sql, type ExpressionBuilder, type Kysely, type SqlBool, type Expression } from "kysely";
import { Fault } from "#fault";
import type { LedgerWriter } from "../ledger/ledger.ts";
import type { RunDecision } from "./recorded.ts";
import type { Tables } from "../storage/tables.ts";
import { anywhere, indexQuery, searchable, searchWords, shortestIndexed } from "./search-words.ts";

/** A run as it stands in a list. */
export interface ListedRun {
  readonly run: string;
  readonly job: string;
  readonly title: string;
  readonly customer: string;
  readonly place: string;
  readonly technician: string;
  readonly items: readonly {
    readonly item: string;
    readonly tag: string;
    readonly description: string;
    readonly serial: string;
  }[];
  /** UTC. */
  readonly opened: string;
  readonly rehearsal: boolean;
  /** Number of events in the log, and the run's clock at the last of them, s. */
  readonly events: number;
  readonly lastAt: number;
  readonly measured: number;
  readonly stops: number;
  readonly paused: boolean;
  readonly outcome: "completed" | "stopped" | "failed" | null;
  /** What `keepDecision` was told; null before. */
  readonly decision: RunDecision | null;
  /** Number of the newest certificate that was not withdrawn; null where there is none. */
  readonly certificate: string | null;
}

export interface RunQuery {
  /** Words that must all occur, anywhere in identifiers, tags, serial numbers, titles, names; capitals and accents do not matter. */
  readonly search?: string | undefined;
  readonly job?: string | undefined;
  readonly item?: string | undefined;
  readonly outcome?: "completed" | "stopped" | "failed" | "open" | undefined;
  readonly decision?: RunDecision | undefined;
  readonly rehearsal?: boolean | undefined;
  /** 50 where nothing is said, 500 at most. */
  readonly limit?: number | undefined;
  /** `next` of the list before: goes on where that ended, whatever came since. */
  readonly after?: number | undefined;
  /** So many of the newest are left out. */
  readonly offset?: number | undefined;
}

/** Newest first; `next` goes on where the list ends, null at the end. */
export interface RunList {
  readonly runs: readonly ListedRun[];
  readonly next: number | null;
}

interface Row {
  number: number;
  run: string;
  job: string;
  title: string;
  customer: string;
  place: string;
  technician: string;
  items: string;
  opened: string;
  rehearsal: number;
  stops: number;
  events: number;
  last_at: number;
  measured: number;
  paused: number;
  outcome: string | null;
  decision: string | null;
  certificate: string | null;
}

const listed = (row: Row): ListedRun => ({
  run: row.run,
  job: row.job,
  title: row.title,
  customer: row.customer,
  place: row.place,
  technician: row.technician,
  items: JSON.parse(row.items) as ListedRun["items"],
  opened: row.opened,
  rehearsal: row.rehearsal === 1,
  events: row.events,
  lastAt: row.last_at,
  measured: row.measured,
  stops: row.stops,
  paused: row.paused === 1,
  outcome: row.outcome as ListedRun["outcome"],
  decision: row.decision as RunDecision | null,
  certificate: row.certificate,
});

const allRuns = (database: Kysely<Tables>) =>
  database
    .selectFrom("runs")
    .innerJoin("run_states", "run_states.number", "runs.number")
    .select((build) => [
      "runs.number",
      "runs.run",
      "runs.job",
      "runs.title",
      "runs.customer",
      "runs.place",
      "runs.technician",
      "runs.items",
      "runs.opened",
      "runs.rehearsal",
      "runs.stops",
      "run_states.events",
      "run_states.last_at",
      "run_states.measured",
      "run_states.paused",
      "run_states.outcome",
      "run_states.decision",
      build
        .selectFrom("certificates")
        .select("certificates.number")
        .whereRef("certificates.run", "=", "runs.number")
        .where("certificates.sequence", "not in", build.selectFrom("certificate_withdrawals").select("sequence"))
        .orderBy("certificates.sequence", "desc")
        .limit(1)
        .as("certificate"),
    ]);

type Builder = ExpressionBuilder<Tables, "runs" | "run_states">;

const found = (search: string): Expression<SqlBool>[] => {
  const words = searchWords(search);
  const indexed = words.filter((word) => [...word].length >= shortestIndexed);
  const short = words.filter((word) => [...word].length < shortestIndexed);
  const conditions: Expression<SqlBool>[] = short.map(
    (word) => sql<SqlBool>`runs.words LIKE ${anywhere(word)} ESCAPE '\\'`,
  );
  if (indexed.length > 0) {
    conditions.push(
      sql<SqlBool>`runs.number IN (SELECT rowid FROM run_search WHERE run_search MATCH ${indexQuery(indexed)})`,
    );
  }
  return conditions;
};

const conditions = (build: Builder, query: RunQuery): Expression<SqlBool>[] => {
  const { search, job, item, outcome, decision, rehearsal, after } = query;
  const list: Expression<SqlBool>[] = [];
  if (search !== undefined && searchable(search).trim() !== "") list.push(...found(search));
  if (job !== undefined) list.push(build("runs.job", "=", job));
  if (item !== undefined)
    list.push(
      build(
        "runs.number",
        "in",
        build.selectFrom("run_items").select("run_items.number").where("run_items.item", "=", item),
      ),
    );
  if (outcome === "open") list.push(build("run_states.outcome", "is", null));
  else if (outcome !== undefined) list.push(build("run_states.outcome", "=", outcome));
  if (decision !== undefined) list.push(build("run_states.decision", "=", decision));
  if (rehearsal !== undefined) list.push(build("runs.rehearsal", "=", rehearsal ? 1 : 0));
  if (after !== undefined) list.push(build("runs.number", "<", after));
  return list;
};

const mostListed = 500;

export const listRuns = async (database: Kysely<Tables>, query: RunQuery): Promise<RunList> => {
  const limit = Math.min(mostListed, Math.max(1, Math.trunc(query.limit ?? 50)));
  const rows: Row[] = await allRuns(database)
    .where((build) => build.and(conditions(build, query)))
    .orderBy("runs.number", "desc")
    .limit(limit + 1)
    .offset(Math.max(0, Math.trunc(query.offset ?? 0)))
    .execute();
  const shown = rows.slice(0, limit);
  return { runs: shown.map(listed), next: rows.length > limit ? shown.at(-1)!.number : null };
};

export const noRun = (run: string): Fault =>
  new Fault("records.not-found", `There is no run ${run} in these records.`, { data: { run } });

/** Throws `records.not-found`. */
export const findRun = async (database: Kysely<Tables>, run: string): Promise<ListedRun> => {
  const row: Row | undefined = await allRuns(database).where("runs.run", "=", run).executeTakeFirst();
  if (row === undefined) throw noRun(run);
  return listed(row);
};

/** Keeps what an evaluation decided, so that lists need not evaluate. The log stays what decides. */
export const keepDecision = async (
  writer: LedgerWriter,
  run: string,
  decision: RunDecision | null,
  author: string,
): Promise<void> => {
  const known = await findRun(writer.database, run);
  if (known.decision === decision) return;
  await writer.enter({ kind: "run-judged", author, body: { run, decision } });
};
