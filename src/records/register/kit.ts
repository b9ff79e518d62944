import type { Kysely } from "kysely";
import {
  readoutSchema,
  referenceSchema,
  sourceSchema,
  type Kit,
  type Readout,
  type Reference,
  type Source,
} from "#calibration";
import { Fault } from "#fault";
import { canonicalJson } from "../chain/canonical-json.ts";
import type { LedgerWriter } from "../ledger/ledger.ts";
import type { KitEntryBody } from "./recorded.ts";
import type { Tables } from "../storage/tables.ts";

export type KitKind = "reference" | "readout" | "source";

/**
 * A kit entry as it is recorded: one revision. On which channel the reference is read belongs to the wiring of a job, not
 * to the probe, and is left out.
 */
export type KitEntry = {
  readonly saved: string;
  /** Who revised it, and why; no reason for what was taken over from version 1 of the records. */
  readonly author: string;
  readonly reason: string | null;
} & KitEntryBody;

/** What a kit entry is said to be from now on. The number of its revision is given by the records. */
export type KitRevision = { readonly author: string; readonly reason: string } & (
  | { readonly kind: "reference"; readonly entry: Omit<Reference, "channel" | "revision"> }
  | { readonly kind: "readout"; readonly entry: Omit<Readout, "revision"> }
  | { readonly kind: "source"; readonly entry: Omit<Source, "revision"> }
);

/**
 * Records the revisions of a kit that are not recorded yet. A revision that is recorded with other figures is thrown as
 * `records.conflict`: kit entries are revised, never edited.
 */
export const saveKit = async (writer: LedgerWriter, kit: Kit, author: string, reason: string): Promise<void> => {
  for (const kind of ["reference", "readout", "source"] as const) {
    const entry = kit[kind];
    const text = canonicalJson({ ...entry, channel: undefined });
    const known = await writer.database
      .selectFrom("kit_revisions")
      .select("text")
      .where("entry", "=", entry.id)
      .where("revision", "=", entry.revision)
      .executeTakeFirst();
    if (known?.text === text) continue;
    if (known !== undefined) {
      throw new Fault(
        "records.conflict",
        `Kit entry ${entry.id} revision ${entry.revision} is recorded already, with other figures. A kit entry is revised, never edited: give this one a higher revision, and leave the recorded one as it is.`,
        { data: { entry: entry.id, revision: entry.revision, kind } },
      );
    }
    await writer.enter({
      kind: "kit-revised",
      author,
      reason,
      body: { kind, entry: JSON.parse(text) } as KitEntryBody,
    });
  }
};

const schemas = { reference: referenceSchema, readout: readoutSchema, source: sourceSchema } as const;

/** The entry as a job would hold it. Throws `input.invalid` with the field that cannot stand. */
const checkedEntry = ({ kind, entry }: KitRevision, revision: number): Kit[KitKind] => {
  const wired = kind === "reference" ? { ...entry, channel: "reference" } : entry;
  const checked = schemas[kind].safeParse({ ...wired, revision });
  if (checked.success) return checked.data;
  const issue = checked.error.issues[0]!;
  const field = issue.path.map(String).join(".");
  throw new Fault("input.invalid", `The ${kind} ${entry.id} cannot be recorded: ${field}: ${issue.message}.`, {
    data: { entry: entry.id, field },
  });
};

/**
 * Records a kit entry as its next revision; answers the number of that. Where it says what the newest says already, nothing
 * is written, and the newest is answered. Throws `records.conflict` where the name belongs to another kind of kit.
 */
export const reviseKit = async (writer: LedgerWriter, revised: KitRevision): Promise<number> => {
  const newest = await writer.database
    .selectFrom("kit_revisions")
    .select(["kind", "revision", "text"])
    .where("entry", "=", revised.entry.id)
    .orderBy("revision", "desc")
    .limit(1)
    .executeTakeFirst();
  if (newest !== undefined && newest.kind !== revised.kind) {
    throw new Fault(
      "records.conflict",
      `${revised.entry.id} is the name of a ${newest.kind} in these records. Give the ${revised.kind} a name of its own.`,
      { data: { entry: revised.entry.id, kind: newest.kind } },
    );
  }
  const known = newest?.revision ?? 0;
  const same = checkedEntry(revised, Math.max(1, known));
  if (newest?.text === canonicalJson({ ...same, channel: undefined })) return known;
  const { kind, author, reason } = revised;
  const entry = { ...same, channel: undefined, revision: known + 1 };
  await writer.enter({ kind: "kit-revised", author, reason, body: { kind, entry } as KitEntryBody });
  return known + 1;
};

/** Every recorded revision, entry by entry, the newest first; only of one entry where it is named. */
export const listKit = async (database: Kysely<Tables>, entry?: string): Promise<KitEntry[]> => {
  const rows = await database
    .selectFrom("kit_revisions")
    .select(["kind", "text", "saved", "author", "reason"])
    .$if(entry !== undefined, (query) => query.where("entry", "=", entry!))
    .orderBy("entry")
    .orderBy("revision", "desc")
    .execute();
  return rows.map(({ text, ...row }) => ({ ...row, entry: JSON.parse(text) }) as KitEntry);
};
