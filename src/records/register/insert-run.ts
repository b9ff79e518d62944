import { sql, type Transaction } from "kysely";
import { plannedPoints, type RunOpened } from "#calibration";
import type { Tables } from "../storage/tables.ts";
import { searchable } from "./search-words.ts";

/** Enters a run from the event that opens it; answers its number. */
export const insertRun = async (transaction: Transaction<Tables>, { run, opened, job }: RunOpened): Promise<number> => {
  const items = job.items.map(({ id, tag, description, serial }) => ({ item: id, tag, description, serial }));
  const { highest } = await transaction
    .selectFrom("runs")
    .select((build) => build.fn.max<number | null>("number").as("highest"))
    .executeTakeFirstOrThrow();
  const number = (highest ?? 0) + 1;
  const told = [
    run,
    job.job,
    job.title,
    job.customer.name,
    job.place,
    job.technician,
    ...items.flatMap(({ item, tag, serial, description }) => [item, tag, serial, description]),
  ];
  const words = searchable(told.join(" \n "));
  await transaction
    .insertInto("runs")
    .values({
      number,
      run,
      job: job.job,
      title: job.title,
      customer: job.customer.name,
      place: job.place,
      technician: job.technician,
      opened,
      rehearsal: job.rehearsal ? 1 : 0,
      items: JSON.stringify(items),
      stops: plannedPoints(job.procedure).length * job.procedure.passes.length,
      words,
    })
    .execute();
  await transaction
    .insertInto("run_items")
    .values(items.map(({ item, tag, serial }) => ({ number, item, tag, serial })))
    .execute();
  await sql`INSERT INTO run_search (rowid, words) VALUES (${number}, ${words})`.execute(transaction);
  return number;
};
