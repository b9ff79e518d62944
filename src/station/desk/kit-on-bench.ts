import type { BenchAnswer } from "#contract";
import type { Records } from "#records";

type KitOnBench = BenchAnswer["kit"][number];

/** The kit entries that an instrument may be: readouts and heat sources, each by its newest revision. */
export const kitOnBench = async (records: Records): Promise<KitOnBench[]> => {
  const newest = new Map<string, { readonly revision: number; readonly shown: KitOnBench }>();
  for (const { kind, entry } of await records.listKit()) {
    if (kind === "reference" || entry.revision < (newest.get(entry.id)?.revision ?? 0)) continue;
    const { id, description, serial, revision } = entry;
    const due = kind === "readout" ? entry.calibration.due : null;
    newest.set(id, { revision, shown: { entry: id, kind, description, serial, due } });
  }
  return [...newest.values()].map(({ shown }) => shown).toSorted((a, b) => (a.entry < b.entry ? -1 : 1));
};
