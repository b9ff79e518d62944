import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { incompleteBeta, incompleteBetaPair } from "./incomplete-beta.ts";
import { gammaHalfRatio, logGamma } from "./log-gamma.ts";

const distributions = JSON.parse(
  readFileSync(new URL("../../test/fixtures/numerics/distributions.json", import.meta.url), "utf8"),
) as { readonly incompleteBeta: readonly (readonly [string, string, string, string])[] };

describe("incomplete beta function", () => {
  it("equals the binomial sum for whole parameters (Abramowitz and Stegun 26.5.24)", () => {
    const binomial = (n: number, k: number): number =>
      Array.from({ length: k }).reduce<number>((product, _, i) => (product * (n - i)) / (i + 1), 1);
    for (const [a, n, x] of [
      [3, 7, 0.3],
      [5, 9, 0.62],
      [1, 4, 0.05],
      [8, 12, 0.9],
    ] as const) {
      let sum = 0;
      for (let k = a; k <= n; k += 1) sum += binomial(n, k) * x ** k * (1 - x) ** (n - k);
      expect(Math.abs(incompleteBeta(x, a, n - a + 1) / sum - 1)).toBeLessThan(1e-14);
    }
  });

  it("has closed forms at one half and one", () => {
    // I_x(1/2, 1/2) is 2/π·asin √x, I_x(a, 1) is x^a, I_x(1, b) is 1 − (1−x)^b.
    for (const x of [1e-12, 0.01, 0.4, 0.77, 0.999]) {
      expect(Math.abs(incompleteBeta(x, 0.5, 0.5) / ((2 / Math.PI) * Math.asin(Math.sqrt(x))) - 1)).toBeLessThan(1e-13);
      expect(Math.abs(incompleteBeta(x, 3.7, 1) / x ** 3.7 - 1)).toBeLessThan(1e-13);
      expect(Math.abs(incompleteBeta(x, 1, 2.2) / -Math.expm1(2.2 * Math.log1p(-x)) - 1)).toBeLessThan(1e-13);
    }
  });

  it("gives both sides, each with its own precision", () => {
    const { lower, upper } = incompleteBetaPair(2, 3, 1 - 1e-9, 1e-9);
    expect(lower).toBe(1);
    expect(Math.abs(upper / 4e-27 - 1)).toBeLessThan(1e-8);
    expect(incompleteBetaPair(2, 3, 0, 1)).toEqual({ lower: 0, upper: 1 });
    expect(incompleteBetaPair(2, 3, 1, 0)).toEqual({ lower: 1, upper: 0 });
    expect(incompleteBetaPair(2, 1e300, 0, 1)).toEqual({ lower: 0, upper: 1 });
    expect(incompleteBetaPair(1e300, 2, 1, 0)).toEqual({ lower: 1, upper: 0 });
  });

  it.each(distributions.incompleteBeta)(
    "I_x(a, b), x = %s, a = %s, b = %s, agrees with 50-digit arithmetic to 5e-14",
    (x, a, b, expected) => {
      expect(Math.abs(incompleteBeta(Number(x), Number(a), Number(b)) / Number(expected) - 1)).toBeLessThan(5e-14);
    },
  );

  it("is not a number outside its domain", () => {
    for (const [x, a, b] of [
      [-0.1, 1, 1],
      [1.1, 1, 1],
      [0.5, 0, 1],
      [0.5, 1, -1],
      [NaN, 1, 1],
      [0.5, Infinity, 1],
      [0.5, 1, Infinity],
      [0, -1, 2],
      [0.5, -2.5, 4],
      [0.5, -1e300, 4],
      [0.5, 4, -1e300],
      [0.5, 4, -Infinity],
      [0.5, 4, NaN],
      [0, 0, 2],
    ] as const) {
      expect(incompleteBeta(x, a, b)).toBeNaN();
    }
  });
});

describe("gamma function", () => {
  it("gives factorials and the half-integer values", () => {
    expect(logGamma(1)).toBe(0);
    expect(logGamma(2)).toBe(0);
    expect(Math.abs(logGamma(11) / Math.log(3_628_800) - 1)).toBeLessThan(1e-15);
    expect(Math.abs(logGamma(0.5) / (0.5 * Math.log(Math.PI)) - 1)).toBeLessThan(2e-15);
    expect(Math.abs(logGamma(1e-5) / 11.512919692895826 - 1)).toBeLessThan(1e-14);
    for (const z of [0, -1, NaN]) expect(logGamma(z)).toBeNaN();
  });

  it("gives the ratio at a half step: Γ(1)/Γ(1/2) = 1/√π, Γ(3/2)/Γ(1) = √π/2", () => {
    expect(Math.abs(gammaHalfRatio(0.5) * Math.sqrt(Math.PI) - 1)).toBeLessThan(2e-15);
    expect(Math.abs(gammaHalfRatio(1) / (Math.sqrt(Math.PI) / 2) - 1)).toBeLessThan(2e-15);
    expect(Math.abs(gammaHalfRatio(1e12) / (1e6 * (1 - 1 / 8e12)) - 1)).toBeLessThan(1e-15);
    expect(gammaHalfRatio(Infinity)).toBe(Infinity);
    for (const z of [0, -1, NaN]) expect(gammaHalfRatio(z)).toBeNaN();
  });
});
