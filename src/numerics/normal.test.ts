import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { normalCdf, normalDensity, normalQuantile } from "./normal.ts";

interface Distributions {
  readonly source: string;
  readonly normalCdf: readonly (readonly [string, string])[];
  readonly normalQuantile: readonly (readonly [string, string])[];
}

const published = JSON.parse(
  readFileSync(new URL("../../test/fixtures/numerics/distributions.json", import.meta.url), "utf8"),
) as Distributions;

const relative = (value: number, expected: number): number =>
  expected === 0 ? Math.abs(value) : Math.abs(value / expected - 1);

describe("normal distribution", () => {
  it.each(published.normalCdf)("Φ(%s) agrees with 50-digit arithmetic to 2e-15, tails included", (x, expected) => {
    expect(relative(normalCdf(Number(x)), Number(expected))).toBeLessThan(2e-15);
  });

  it.each(published.normalQuantile)("quantile of %s agrees with 50-digit arithmetic to 2e-15", (p, expected) => {
    expect(relative(normalQuantile(Number(p)), Number(expected))).toBeLessThan(2e-15);
  });

  it("gives the coverage factor 2.00 at 95.45 % (JCGM 100:2008, Table G.1)", () => {
    expect(normalQuantile((1 + 0.9545) / 2)).toBeCloseTo(2, 5);
    expect(normalQuantile(0.975)).toBeCloseTo(1.96, 4);
    expect(normalQuantile(0.995)).toBeCloseTo(2.576, 3);
  });

  it("gives the one-sided conformance probabilities of JCGM 106:2012, Table 1", () => {
    for (const [p, z] of [
      [0.8, 0.84],
      [0.9, 1.28],
      [0.95, 1.64],
      [0.99, 2.33],
      [0.999, 3.09],
    ] as const) {
      expect(Math.abs(normalQuantile(p) - z)).toBeLessThanOrEqual(0.0051);
    }
  });

  it("is continuous and rising across its two methods", () => {
    for (const seam of [-0.7, 0.7]) {
      const step = 1e-12;
      const [before, after] = [normalCdf(seam - step), normalCdf(seam + step)];
      expect(after).toBeGreaterThan(before);
      expect(after - before).toBeLessThan(1.1 * 2 * step * normalDensity(seam));
    }
  });

  it("answers the ends and what is not a number", () => {
    expect(normalCdf(Infinity)).toBe(1);
    expect(normalCdf(-Infinity)).toBe(0);
    expect(normalCdf(NaN)).toBeNaN();
    expect(normalQuantile(0)).toBe(-Infinity);
    expect(normalQuantile(1)).toBe(Infinity);
    expect(normalQuantile(0.5)).toBe(0);
    for (const p of [-0.1, 1.1, NaN, Infinity]) expect(normalQuantile(p)).toBeNaN();
  });
});
