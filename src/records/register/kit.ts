import type { Kysely } from "kysely";
import type { Kit, Readout, Reference, Source } from "#calibration";
import { Fault } from "#fault";
import { canonicalJson } from "../chain/canonical-json.ts";
import type { Tables } from "../storage/tables.ts";

export type KitKind = "reference" | "readout" | "source";

/**
 * A kit entry as it is recorded: one revision. On which channel the reference is read belongs to the wiring of a job, not
 * to the probe, and is left out.
 */
export type KitEntry = { readonly saved: string } & (
  | { readonly kind: "reference"; readonly entry: Omit<Reference, "channel"> }
  | { readonly kind: "readout"; readonly entry: Readout }
  | { readonly kind: "source"; readonly entry: Source }
);

/**
 * Records the revisions of a kit that are not recorded yet. A revision that is recorded with other figures is thrown as
 * `records.conflict`: kit entries are revised, never edited.
 */
export const saveKit = async (database: Kysely<Tables>, kit: Kit, saved: string): Promise<void> => {
  for (const kind of ["reference", "readout", "source"] as const) {
    const entry = kit[kind];
    const text = canonicalJson({ ...entry, channel: undefined });
    const known = await database
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
    await database
      .insertInto("kit_revisions")
      .values({
        entry: entry.id,
        revision: entry.revision,
        kind,
        description: entry.description,
        serial: entry.serial,
        due: "calibration" in entry ? entry.calibration.due : null,
        text,
        saved,
      })
      .execute();
  }
};

/** Every recorded revision, entry by entry, the newest first; only of one entry where it is named. */
export const listKit = async (database: Kysely<Tables>, entry?: string): Promise<KitEntry[]> => {
  const rows = await database
    .selectFrom("kit_revisions")
    .select(["kind", "text", "saved"])
    .$if(entry !== undefined, (query) => query.where("entry", "=", entry!))
    .orderBy("entry")
    .orderBy("revision", "desc")
    .execute();
  return rows.map(({ kind, text, saved }) => ({ kind, saved, entry: JSON.parse(text) }) as KitEntry);
};
