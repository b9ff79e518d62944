import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { parse } from "yaml";
import { z } from "zod";
import { benchFileJsonSchema } from "./bench/read-simulated-bench.ts";
import { instrumentEntryJsonSchema, readCatalog } from "./catalog.ts";
import { upkeepDocumentJsonSchema, upkeepProcedureJsonSchema } from "./upkeep/upkeep-file.ts";

const home = join(import.meta.dirname, "../..");
const text = (path: string): string => readFileSync(join(home, path), "utf8");

it.each([
  ["instrument-entry.schema.json", instrumentEntryJsonSchema],
  ["bench.schema.json", benchFileJsonSchema],
  ["upkeep-document.schema.json", upkeepDocumentJsonSchema],
  ["upkeep-procedure.schema.json", upkeepProcedureJsonSchema],
])("%s is what the program checks by (else run `node scripts/write-schemas.ts`)", (name, schema) => {
  expect(text(`catalog/schema/${name}`)).toBe(`${JSON.stringify(schema(), null, 2)}\n`);
});

it("the JSON schema of an entry takes every shipped one and refuses an unknown field", () => {
  const checker = z.fromJSONSchema(instrumentEntryJsonSchema() as Parameters<typeof z.fromJSONSchema>[0]);
  for (const { entry } of readCatalog(home)) {
    const written = parse(text(`catalog/instruments/${entry}.yaml`)) as object;
    expect(checker.safeParse(written).error).toBeUndefined();
    expect(checker.safeParse({ ...written, colour: "red" }).success).toBe(false);
  }
});
