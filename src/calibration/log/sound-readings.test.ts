import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readingsTakenSchema } from "./events.ts";
import { soundReadings } from "./sound-readings.ts";

const block = {
  kind: "readings-taken",
  n: 3,
  at: 12,
  channel: "item-1",
  unit: "Ω",
  times: [10, 12],
  values: [100, -1],
};

describe("blocks of readings told sound without the schema", () => {
  it("takes the usual ones as they are", () => {
    for (const value of [block, { ...block, wire: ["100.0", "-1"] }]) expect(soundReadings(value)).toBe(value);
  });

  it("leaves what a person typed, and other events, to the schema", () => {
    expect(soundReadings({ ...block, by: "demo" })).toBeUndefined();
    expect(soundReadings({ ...block, kind: "note-added" })).toBeUndefined();
    for (const value of [null, 1, "readings-taken", undefined]) expect(soundReadings(value)).toBeUndefined();
  });

  it("never takes what the schema refuses", () => {
    const number = fc.oneof(
      fc.constantFrom(0, -0, -1, 0.5, 7, 1e308, Number.POSITIVE_INFINITY, Number.NaN, 2 ** 53),
      fc.double(),
    );
    const odd = fc.oneof(
      number,
      fc.constantFrom(null, undefined, "", "x", "item 1", "item-1", "Ω", "K", true),
      fc.array(number),
    );
    const list = fc.array(fc.oneof({ arbitrary: number, weight: 4 }, { arbitrary: odd, weight: 1 }), { maxLength: 4 });
    const field = fc.constantFrom("kind", "n", "at", "channel", "unit", "times", "values", "wire", "by", "more");
    let taken = 0;
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(field, fc.oneof(odd, list, fc.array(fc.constantFrom<unknown>("1", "2", 3), { maxLength: 3 }))),
          {
            maxLength: 3,
          },
        ),
        fc.array(field, { maxLength: 1 }),
        (changes, removed) => {
          const value: Record<string, unknown> = { ...block, ...Object.fromEntries(changes) };
          for (const name of removed) delete value[name];
          if (soundReadings(value) === undefined) return;
          taken += 1;
          expect(readingsTakenSchema.safeParse(value)).toEqual({ success: true, data: value });
        },
      ),
      { seed: 20261125, numRuns: 5000 },
    );
    expect(taken).toBeGreaterThan(200);
  });
});
