import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { z } from "zod";
import { jobJsonSchema, runLogJsonSchema, type JsonSchema } from "./json-schemas.ts";

const root = new URL("../../../", import.meta.url);
const text = (path: string): string => readFileSync(new URL(path, root), "utf8");

describe("the JSON schemas beside the catalogue", () => {
  it.each<[string, () => JsonSchema]>([
    ["job.schema.json", jobJsonSchema],
    ["run-log.schema.json", runLogJsonSchema],
  ])("%s is what the program checks by (else run `node scripts/write-schemas.ts`)", (name, schema) => {
    expect(text(`catalog/schema/${name}`)).toBe(`${JSON.stringify(schema(), null, 2)}\n`);
    expect(schema().$schema).toBe("https://json-schema.org/draft/2020-12/schema");
  });
});

describe("the JSON schema of a job", () => {
  const checker = z.fromJSONSchema(jobJsonSchema() as Parameters<typeof z.fromJSONSchema>[0]);

  it.each(["pt100-four-wire.yaml", "type-k-thermocouple.yaml", "transmitter-4-20.yaml", "recorded-elsewhere/job.yaml"])(
    "accepts examples/%s",
    (name) => {
      expect(checker.safeParse(parse(text(`examples/${name}`))).error).toBeUndefined();
    },
  );

  it("refuses an unknown field and a missing one, and lets defaults be left out", () => {
    const job = parse(text("examples/pt100-four-wire.yaml")) as Record<string, unknown>;
    expect(checker.safeParse({ ...job, colour: "red" }).success).toBe(false);
    expect(checker.safeParse({ ...job, items: undefined }).success).toBe(false);
    expect(checker.safeParse({ ...job, rehearsal: undefined }).success).toBe(true);
  });
});
