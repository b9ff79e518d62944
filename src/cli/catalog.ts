import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { Fault, unwrap } from "#fault";
import { instrumentEntrySchema, type InstrumentEntry } from "#instruments";
import { loadDocument, writtenSchema, type JsonSchema } from "#intake";

/**
 * The catalogue's instrument entries, every file checked. An entry is named as its file, so that a job can be read without
 * looking anything up. Throws a Fault that names the file and line.
 */
export const readCatalog = (home: string): InstrumentEntry[] => {
  const folder = join(home, "catalog", "instruments");
  const files = readdirSync(folder)
    .filter((name) => name.endsWith(".yaml"))
    .sort();
  return files.map((name) => {
    const entry = unwrap(
      loadDocument(readFileSync(join(folder, name), "utf8"), `catalog/instruments/${name}`, instrumentEntrySchema, {
        code: "instrument.entry-invalid",
      }),
    );
    if (`${entry.entry}.yaml` !== name) {
      throw new Fault(
        "instrument.entry-invalid",
        `catalog/instruments/${name} calls its entry "${entry.entry}". Name the file ${entry.entry}.yaml.`,
      );
    }
    return entry;
  });
};

/** The JSON schema of a catalogue entry, for editors. */
export const instrumentEntryJsonSchema = (): JsonSchema =>
  writtenSchema(
    instrumentEntrySchema,
    "Catalogue entry",
    "What to say to an instrument and how to understand it. Temperatures in °C, times in s.",
  );
