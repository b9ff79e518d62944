import type { Kysely, Transaction } from "kysely";
import type { RunEvent } from "#calibration";
import type { Tables } from "../storage/tables.ts";
import type { KitKind } from "./kit.ts";

const kinds = ["reference", "readout", "source"] as const;

/** Enters with what a run is made: from its opening, and from each event that puts another kit entry in place. */
export const insertRunKit = async (
  transaction: Transaction<Tables>,
  number: number,
  events: readonly RunEvent[],
): Promise<void> => {
  const rows = events.flatMap((event) => {
    if (event.kind !== "run-opened" && event.kind !== "kit-replaced") return [];
    const kit = event.kind === "run-opened" ? event.job.kit : event;
    return kinds.flatMap((kind) => {
      const entry = kit[kind];
      return entry === undefined
        ? []
        : [{ number, kind, entry: entry.id, serial: entry.serial, revision: entry.revision }];
    });
  });
  if (rows.length === 0) return;
  await transaction
    .insertInto("run_kit")
    .values(rows)
    .onConflict((conflict) => conflict.doNothing())
    .execute();
};

export interface RunsWithKitQuery {
  readonly kind: KitKind;
  readonly serial: string;
  /** Only under this name, or as this revision. */
  readonly entry?: string | undefined;
  readonly revision?: number | undefined;
  /** Only runs opened from `from` to `to`, both UTC texts and both included. */
  readonly from?: string | undefined;
  readonly to?: string | undefined;
  /** Rehearsals too; left out where nothing is said. */
  readonly rehearsals?: boolean | undefined;
}

export interface RunWithKit {
  readonly run: string;
  /** UTC. */
  readonly opened: string;
  readonly customer: string;
  readonly rehearsal: boolean;
}

/** The runs that used a kit entry, in the order of their opening. */
export const runsWithKit = async (database: Kysely<Tables>, query: RunsWithKitQuery): Promise<RunWithKit[]> => {
  const { kind, serial, entry, revision, from, to, rehearsals = false } = query;
  const rows = await database
    .selectFrom("run_kit")
    .innerJoin("runs", "runs.number", "run_kit.number")
    .select(["runs.run", "runs.opened", "runs.customer", "runs.rehearsal"])
    .distinct()
    .where("run_kit.kind", "=", kind)
    .where("run_kit.serial", "=", serial)
    .$if(entry !== undefined, (select) => select.where("run_kit.entry", "=", entry!))
    .$if(revision !== undefined, (select) => select.where("run_kit.revision", "=", revision!))
    .$if(from !== undefined, (select) => select.where("runs.opened", ">=", from!))
    .$if(to !== undefined, (select) => select.where("runs.opened", "<=", to!))
    .$if(!rehearsals, (select) => select.where("runs.rehearsal", "=", 0))
    .orderBy("runs.opened")
    .orderBy("runs.number")
    .execute();
  return rows.map((row) => ({ ...row, rehearsal: row.rehearsal === 1 }));
};

/** A revision of a kit entry that runs used, under the serial number that it had. */
export interface UsedKit {
  readonly kind: KitKind;
  readonly entry: string;
  readonly serial: string;
  readonly revision: number;
  /** How many runs, rehearsals among them, and the newest of them. */
  readonly runs: number;
  readonly newestRun: string;
}

/** Every revision that any run used, entry by entry, the newest revision first. */
export const usedKit = async (database: Kysely<Tables>): Promise<UsedKit[]> => {
  const rows = await database
    .selectFrom("run_kit")
    .select(({ fn }) => [
      "kind",
      "entry",
      "serial",
      "revision",
      fn.count<number>("number").as("runs"),
      fn.max<number>("number").as("newest"),
    ])
    .groupBy(["kind", "entry", "serial", "revision"])
    .orderBy("kind")
    .orderBy("entry")
    .orderBy("serial")
    .orderBy("revision", "desc")
    .execute();
  const names = await database
    .selectFrom("runs")
    .select(["number", "run"])
    .where(
      "number",
      "in",
      rows.map(({ newest }) => newest),
    )
    .execute();
  const nameOf = new Map(names.map(({ number, run }) => [number, run]));
  return rows.map(({ newest, ...row }) => ({ ...row, newestRun: nameOf.get(newest)! }));
};
