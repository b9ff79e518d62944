import { writeFileSync } from "node:fs";
import { jobJsonSchema, runLogJsonSchema } from "#intake";

/** Writes the JSON schemas of job files and run logs beside the catalogue, where editors find them. */
const folder = new URL("../catalog/schema/", import.meta.url);
for (const [name, schema] of Object.entries({
  "job.schema.json": jobJsonSchema(),
  "run-log.schema.json": runLogJsonSchema(),
})) {
  writeFileSync(new URL(name, folder), `${JSON.stringify(schema, null, 2)}\n`);
  process.stdout.write(`catalog/schema/${name} written\n`);
}
