import { describe, expect, it } from "vitest";
import table from "../../test/fixtures/numerics/gum-table-g2.json" with { type: "json" };
import { coverageFactor, coverageProbability, truncatedDegreesOfFreedom } from "./coverage-factor.ts";

describe(`coverage factors, ${table.source}`, () => {
  it.each(table.rows as [string, string][])("%s degrees of freedom: %s [U4]", (dof, printed) => {
    const places = (printed.split(".")[1] ?? "").length;
    const k = coverageFactor(0.9545, dof === "infinity" ? Number.POSITIVE_INFINITY : Number(dof));
    // The table drops a last zero, so compare as numbers to the printed place.
    expect(Math.abs(k - Number(printed))).toBeLessThanOrEqual(0.5 * 10 ** -Math.max(places, 2) + 1e-9);
  });

  it("infinitely many: 2.000 [U4]", () => {
    expect(coverageFactor(0.9545, Number.POSITIVE_INFINITY).toFixed(3)).toBe("2.000");
  });

  it("truncates 16.75 to 16, 2.999 to 2, and leaves what is below 1 [U4]", () => {
    expect([16.75, 2.999, 1, 0.4, 9 - 1e-13, Number.POSITIVE_INFINITY].map(truncatedDegreesOfFreedom)).toEqual([
      16,
      2,
      1,
      0.4,
      9,
      Number.POSITIVE_INFINITY,
    ]);
    expect(coverageFactor(0.9545, 16.75)).toBe(coverageFactor(0.9545, 16));
  });

  it("has a reverse", () => {
    for (const dof of [1, 3.7, 12, Number.POSITIVE_INFINITY])
      expect(coverageProbability(coverageFactor(0.99, dof), dof)).toBeCloseTo(0.99, 12);
  });

  it("is no number outside its range", () => {
    expect([
      coverageFactor(0, 5),
      coverageFactor(1, 5),
      coverageFactor(0.95, 0),
      coverageFactor(0.95, Number.NaN),
      coverageProbability(-1, 5),
    ]).toEqual(Array.from({ length: 5 }, () => Number.NaN));
  });
});
