import { describe, expect, it } from "vitest";
import * as fc from "fast-check";
import { figureAt, figureSchema } from "./table.ts";

const rows = [
  { temperature: 0, value: 1 },
  { temperature: 10, value: 3 },
  { temperature: 40, value: 0 },
];

describe("a figure that may be a table over temperature", () => {
  it.each([
    [-300, 1],
    [0, 1],
    [5, 2],
    [10, 3],
    // From 3 at 10 °C to 0 at 40 °C: a tenth less for each kelvin.
    [20, 2],
    [39, 0.1],
    [40, 0],
    [41, 0],
  ])("at %d °C is %d", (temperature, value) => expect(figureAt(rows, temperature)).toBeCloseTo(value, 12));

  it("holds everywhere where it is a number, or a single row", () => {
    for (const temperature of [-200, 0, 1700]) {
      expect(figureAt(0.25, temperature)).toBe(0.25);
      expect(figureAt([{ temperature: 20, value: 0.5 }], temperature)).toBe(0.5);
    }
  });

  it("never leaves what its rows span, and is the row's own value at each row", () => {
    const table = fc
      .uniqueArray(fc.integer({ min: -200, max: 1700 }), { minLength: 1, maxLength: 8 })
      .chain((temperatures) =>
        fc.tuple(
          fc.constant(temperatures.toSorted((a, b) => a - b)),
          fc.array(fc.double({ min: 0, max: 2, noNaN: true }), {
            minLength: temperatures.length,
            maxLength: temperatures.length,
          }),
        ),
      )
      .map(([temperatures, values]) =>
        temperatures.map((temperature, index) => ({ temperature, value: values[index]! })),
      );
    fc.assert(
      fc.property(table, fc.double({ min: -300, max: 2000, noNaN: true }), (made, temperature) => {
        const values = made.map(({ value }) => value);
        const figure = figureAt(made, temperature);
        expect(figure).toBeGreaterThanOrEqual(Math.min(...values) - 1e-12);
        expect(figure).toBeLessThanOrEqual(Math.max(...values) + 1e-12);
        for (const row of made) expect(figureAt(made, row.temperature)).toBeCloseTo(row.value, 12);
      }),
      { seed: 20261125, numRuns: 200 },
    );
  });

  it.each([
    ["no row", []],
    ["a temperature twice", [rows[0], rows[0]]],
    ["falling temperatures", [rows[1], rows[0]]],
    ["falling temperatures at the end", [rows[0], rows[2], rows[1]]],
    ["a negative value", [{ temperature: 0, value: -1 }]],
    ["a negative number", -0.1],
    ["a word", "much"],
    ["a field that is none", [{ ...rows[0], note: "x" }]],
  ])("may not be %s", (_, figure) => expect(figureSchema.safeParse(figure).success).toBe(false));

  it("may be nothing, a number, or rows in rising order", () => {
    for (const figure of [0, 0.3, rows, rows.slice(0, 1)]) expect(figureSchema.parse(figure)).toEqual(figure);
  });
});
