import { writeFileSync } from "node:fs";
import { jobJsonSchema, runLogJsonSchema } from "#intake";
import { benchFileJsonSchema } from "../src/cli/bench/read-simulated-bench.ts";
import { instrumentEntryJsonSchema } from "../src/cli/catalog.ts";
import { upkeepDocumentJsonSchema, upkeepProcedureJsonSchema } from "../src/cli/upkeep/upkeep-file.ts";

/** Writes the JSON schemas of job files, run logs, catalogue entries, bench files and tests of the kit beside the catalogue, where editors find them. */
const folder = new URL("../catalog/schema/", import.meta.url);
for (const [name, schema] of Object.entries({
  "job.schema.json": jobJsonSchema(),
  "run-log.schema.json": runLogJsonSchema(),
  "instrument-entry.schema.json": instrumentEntryJsonSchema(),
  "bench.schema.json": benchFileJsonSchema(),
  "upkeep-document.schema.json": upkeepDocumentJsonSchema(),
  "upkeep-procedure.schema.json": upkeepProcedureJsonSchema(),
})) {
  writeFileSync(new URL(name, folder), `${JSON.stringify(schema, null, 2)}\n`);
  process.stdout.write(`catalog/schema/${name} written\n`);
}
