import type { Transaction } from "kysely";
import { canonicalJson } from "../chain/canonical-json.ts";
import type { Tables } from "../storage/tables.ts";
import type { EntryBodies, EntryKind, EntryOf, LedgerEntry } from "./entry.ts";

type Projection<Kind extends EntryKind> = (transaction: Transaction<Tables>, entry: EntryOf<Kind>) => Promise<void>;

/** Shows nothing in the tables. */
const nothing = async (): Promise<void> => {};

const runNumber = (transaction: Transaction<Tables>, run: string): Promise<number> =>
  transaction
    .selectFrom("runs")
    .select("number")
    .where("run", "=", run)
    .executeTakeFirstOrThrow()
    .then(({ number }) => number);

const sequenceOf = (transaction: Transaction<Tables>, number: string): Promise<number> =>
  transaction
    .selectFrom("certificates")
    .select("sequence")
    .where("number", "=", number)
    .executeTakeFirstOrThrow()
    .then(({ sequence }) => sequence);

const job: Projection<"job-revised"> = async (transaction, { body, at }) => {
  await transaction
    .insertInto("job_revisions")
    .values({
      job: body.job.job,
      revision: body.revision,
      title: body.job.title,
      customer: body.job.customer.name,
      text: canonicalJson(body.job),
      source: body.source,
      saved: body.saved ?? at,
    })
    .execute();
};

const item: Projection<"item-revised"> = async (transaction, { body, at }) => {
  await transaction
    .insertInto("item_revisions")
    .values({
      item: body.item.id,
      revision: body.revision,
      tag: body.item.tag,
      serial: body.item.serial,
      description: body.item.description,
      text: canonicalJson(body.item),
      saved: body.saved ?? at,
    })
    .execute();
};

const kit: Projection<"kit-revised"> = async (transaction, { body, author, reason, at }) => {
  const { kind, entry } = body;
  await transaction
    .insertInto("kit_revisions")
    .values({
      entry: entry.id,
      revision: entry.revision,
      kind,
      description: entry.description,
      serial: entry.serial,
      due: "calibration" in entry ? entry.calibration.due : null,
      text: canonicalJson(entry),
      saved: body.saved ?? at,
      author,
      reason: reason ?? null,
    })
    .execute();
};

const finding: Projection<"finding-kept"> = async (transaction, { body, author, at: saved }) => {
  const { number, entry, kind, at, document } = body;
  await transaction
    .insertInto("kit_findings")
    .values({ number, entry, kind, at, author, document: canonicalJson(document), saved })
    .execute();
};

const instrument: Projection<"instrument-kept"> = async (transaction, { body, at: saved }) => {
  const { kept, ...told } = body;
  await transaction
    .insertInto("instrument_revisions")
    .values({ ...told, kept: kept ? 1 : 0, saved })
    .execute();
};

const judged: Projection<"run-judged"> = async (transaction, { body }) => {
  const number = await runNumber(transaction, body.run);
  await transaction.updateTable("run_states").set({ decision: body.decision }).where("number", "=", number).execute();
};

const certificate: Projection<"certificate-issued"> = async (transaction, { body, author, reason }) => {
  const { sequence, number, issued, decision, lines, head, terms, amends } = body;
  await transaction
    .insertInto("certificates")
    .values({
      sequence,
      number,
      run: await runNumber(transaction, body.run),
      issued,
      authorised_by: body.authorisedBy ?? author,
      decision,
      lines,
      head,
      terms: terms === undefined ? null : canonicalJson(terms),
      amends: amends === undefined ? null : await sequenceOf(transaction, amends),
      reason: amends === undefined ? null : (reason ?? ""),
    })
    .execute();
};

const withdrawal: Projection<"certificate-withdrawn"> = async (transaction, { body, author, reason }) => {
  const sequence = await sequenceOf(transaction, body.number);
  await transaction
    .insertInto("certificate_withdrawals")
    .values({ sequence, at: body.at, by: author, reason: reason ?? "" })
    .execute();
};

const setting: Projection<"setting-changed"> = async (transaction, { body }) => {
  const value = canonicalJson(body.value);
  await transaction
    .insertInto("settings")
    .values({ name: body.name, value })
    .onConflict((conflict) => conflict.column("name").doUpdateSet({ value }))
    .execute();
};

const projections: { readonly [Kind in keyof EntryBodies]: Projection<Kind> } = {
  "ledger-begun": nothing,
  "job-revised": job,
  "item-revised": item,
  "kit-revised": kit,
  "finding-kept": finding,
  "instrument-kept": instrument,
  // What lists show of a run follows from its events: see run-head.ts.
  "run-events": nothing,
  "run-judged": judged,
  "certificate-issued": certificate,
  "certificate-withdrawn": withdrawal,
  "setting-changed": setting,
  "clock-stepped-back": nothing,
  "records-taken-up": nothing,
};

/** Shows an entry in the tables. The tables follow from the entries, and can be made anew from them. */
export const project = (transaction: Transaction<Tables>, entry: LedgerEntry): Promise<void> => {
  const act = projections[entry.kind] as (transaction: Transaction<Tables>, entry: LedgerEntry) => Promise<void>;
  return act(transaction, entry);
};
