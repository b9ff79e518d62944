import type { Kysely } from "kysely";
import type { Tables } from "../storage/tables.ts";

/** An item as runs have measured it: an identifier with another serial number is another item. */
export interface MeasuredItem {
  readonly item: string;
  readonly serial: string;
  readonly tag: string;
  /** How many ended runs measured it, and how many of them were rehearsals. */
  readonly runs: number;
  readonly rehearsals: number;
  readonly newestRun: string;
  /** When that was opened, UTC. */
  readonly newestOpened: string;
}

/** Every item that an ended run measured, by tag. */
export const measuredItems = async (database: Kysely<Tables>): Promise<MeasuredItem[]> => {
  const rows = await database
    .selectFrom("run_items")
    .innerJoin("runs", "runs.number", "run_items.number")
    .innerJoin("run_states", "run_states.number", "run_items.number")
    .select(({ fn }) => [
      "run_items.item",
      "run_items.serial",
      fn.count<number>("run_items.number").as("runs"),
      fn.sum<number>("runs.rehearsal").as("rehearsals"),
      fn.max<number>("run_items.number").as("newest"),
    ])
    .where("run_states.outcome", "is not", null)
    .groupBy(["run_items.item", "run_items.serial"])
    .execute();
  const newest = await database
    .selectFrom("runs")
    .innerJoin("run_items", "run_items.number", "runs.number")
    .select(["runs.number", "runs.run", "runs.opened", "run_items.item", "run_items.tag"])
    .where(
      "runs.number",
      "in",
      rows.map((row) => row.newest),
    )
    .execute();
  const found = new Map(newest.map((row) => [`${row.number}/${row.item}`, row]));
  return rows
    .map(({ item, serial, runs, rehearsals, newest: number }) => {
      const last = found.get(`${number}/${item}`)!;
      return { item, serial, tag: last.tag, runs, rehearsals, newestRun: last.run, newestOpened: last.opened };
    })
    .toSorted((a, b) => (a.tag < b.tag ? -1 : a.tag > b.tag ? 1 : 0));
};
