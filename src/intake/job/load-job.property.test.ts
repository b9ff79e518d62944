import { readFileSync } from "node:fs";
import * as fc from "fast-check";
import { expect, it } from "vitest";
import type { FieldError } from "../document/field-error.ts";
import { loadJob } from "./load-job.ts";

const seed = 20_261_125;
const text = readFileSync(new URL("../../../examples/transmitter-4-20.yaml", import.meta.url), "utf8");
const lines = text.split("\n");

const at = fc.nat(lines.length - 1);
const junk = fc.oneof(
  fc.constantFrom(
    "",
    "~",
    "[]",
    "{}",
    "- x",
    "a: b",
    "*a",
    "&a x",
    "!t x",
    "\t",
    "'",
    '"',
    ": ",
    "1e999",
    ".nan",
    "012",
    "true",
    "__proto__: {}",
    "constructor: 1",
    "\u0000",
    "…",
  ),
  fc.string({ maxLength: 12 }),
);

/** Lines taken out, doubled, moved or spoilt, as happens when people edit. */
const damage = fc.oneof(
  fc.record({ kind: fc.constant("drop" as const), at }),
  fc.record({ kind: fc.constant("double" as const), at }),
  fc.record({ kind: fc.constant("indent" as const), at, by: fc.integer({ min: -4, max: 4 }) }),
  fc.record({ kind: fc.constant("value" as const), at, junk }),
  fc.record({ kind: fc.constant("cut" as const), at }),
);

type Damage = typeof damage extends fc.Arbitrary<infer T> ? T : never;

const damaged = (before: readonly string[], what: Damage): string[] => {
  const line = before[what.at] ?? "";
  switch (what.kind) {
    case "drop":
      return before.toSpliced(what.at, 1);
    case "double":
      return before.toSpliced(what.at, 0, line);
    case "indent":
      return before.with(what.at % before.length, what.by >= 0 ? " ".repeat(what.by) + line : line.slice(-what.by));
    case "value":
      return before.with(what.at % before.length, line.replace(/: .*$/, `: ${what.junk}`));
    case "cut":
      return before.slice(0, what.at + 1);
  }
};

it(`a damaged job is a job or a fault with lines of the text, never a crash (seed ${seed})`, () => {
  let refused = 0;
  fc.assert(
    fc.property(fc.array(damage, { minLength: 1, maxLength: 4 }), (all) => {
      const result = all.reduce(
        (before: string[], what) => (before.length === 0 ? before : damaged(before, what)),
        lines,
      );
      const outcome = loadJob(result.join("\n"), "x.yaml");
      if (outcome.ok) return;
      refused += 1;
      const fields = outcome.fault.data!.fields as FieldError[];
      expect(fields.length).toBeGreaterThan(0);
      for (const { line, column, message } of fields) {
        expect(line).toBeGreaterThanOrEqual(1);
        expect(line).toBeLessThanOrEqual(result.join("\n").split("\n").length + 1);
        expect(column).toBeGreaterThanOrEqual(1);
        expect(message).toMatch(/[.?]$/);
        expect(message).not.toMatch(/undefined|Invalid input|\[object/);
      }
    }),
    { seed, numRuns: 300 },
  );
  expect(refused).toBeGreaterThan(100);
});
