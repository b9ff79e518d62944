import { readFileSync } from "node:fs";
import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitPolynomial, type PolynomialFitInput } from "./fit-polynomial.ts";
import { leastSquares, type LeastSquaresFit } from "./least-squares.ts";

interface Answer {
  readonly coefficients: readonly string[];
  readonly standardErrors: readonly string[];
  readonly residualStandardDeviation: string;
}
interface DataSet {
  readonly x: readonly string[];
  readonly y: readonly string[];
}
const read = <T>(path: string): T =>
  JSON.parse(readFileSync(new URL(`../../test/fixtures/${path}`, import.meta.url), "utf8")) as T;
const certified = read<{ readonly sets: Readonly<Record<string, DataSet & { readonly certified: Answer }>> }>(
  "numerics/nist-strd-linear.json",
).sets;
const exact = read<{
  readonly sets: Readonly<Record<string, DataSet & { readonly degree: number; readonly exact: Answer }>>;
}>("fits/exact-fits.json").sets;

const fitted = (input: PolynomialFitInput): LeastSquaresFit => {
  const fit = fitPolynomial(input);
  if (!fit.ok) throw new Error(`no fit: ${fit.reason}`);
  return fit;
};
const digits = (value: number, truth: number): number => -Math.log10(Math.max(Math.abs(value / truth - 1), 1e-17));
const fewestDigits = (fit: LeastSquaresFit, answer: Answer): number =>
  Math.min(
    ...answer.coefficients.map((value, index) => digits(fit.coefficients[index]!, Number(value))),
    ...answer.standardErrors.map((value, index) => digits(fit.standardErrors[index]!, Number(value))),
    digits(fit.residualStandardDeviation, Number(answer.residualStandardDeviation)),
  );

describe("polynomials of the NIST Statistical Reference Datasets", () => {
  it.each(Object.entries(certified))("%s to 11 certified digits", (_, { x, y, certified: answer }) => {
    const fit = fitted({ x: x.map(Number), y: y.map(Number), degree: answer.coefficients.length - 1 });
    expect(fewestDigits(fit, answer)).toBeGreaterThan(11);
  });

  // Exact rational arithmetic on the printed decimals, see exact_fits.py beside the fixture.
  it.each([
    ["Filip", 13],
    ["Wampler4", 13],
    ["Wampler5", 13],
  ] as const)("%s to %d digits of the exact answer, standard errors too", (name, least) => {
    const { x, y, degree, exact: answer } = exact[name]!;
    expect(fewestDigits(fitted({ x: x.map(Number), y: y.map(Number), degree }), answer)).toBeGreaterThan(least);
  });

  it("has in the fixture what NIST certifies for Filip (15 digits, from memory)", () => {
    const { exact: answer } = exact["Filip"]!;
    const ofNist = [
      -1467.4896142298, -2772.17959193342, -2316.37108160893, -1127.97394098372, -354.478233703349, -75.1242017393757,
      -10.8753180355343, -1.06221498588947, -0.0670191154593408, -0.00246781078275479, -0.0000402962525080404,
    ];
    ofNist.forEach((value, index) => expect(digits(Number(answer.coefficients[index]!), value)).toBeGreaterThan(14));
    expect(digits(Number(answer.standardErrors[0]!), 298.084530995537)).toBeGreaterThan(14);
    expect(digits(Number(answer.residualStandardDeviation), 0.00334801051324544)).toBeGreaterThan(14);
  });

  it.each([
    ["Wampler1", 1],
    ["Wampler2", 0.1],
  ] as const)("%s, which a polynomial meets exactly, to 13 digits", (_, ratio) => {
    const x = Array.from({ length: 21 }, (__, index) => index);
    const truth = Array.from({ length: 6 }, (__, power) => ratio ** power);
    const fit = fitted({ x, y: x.map((at) => truth.reduce((sum, c, power) => sum + c * at ** power, 0)), degree: 5 });
    truth.forEach((value, index) => expect(digits(fit.coefficients[index]!, value)).toBeGreaterThan(13));
    expect(fit.residualStandardDeviation).toBeLessThan(1e-8);
  });
});

describe("a fitted polynomial", () => {
  const x = [-40, 0, 25.5, 100, 180];
  const y = [3.1, 4.02, 4.6, 6.9, 9.4];
  const uncertainties = [0.1, 0.02, 0.05, 0.05, 0.1];

  it("is the straightforward fit in powers of x, weights and covariance included", () => {
    const plain = leastSquares({ design: x.map((at) => [1, at, at * at]), observations: y, uncertainties });
    if (!plain.ok) throw new Error(plain.reason);
    const fit = fitted({ x, y, degree: 2, uncertainties });
    fit.coefficients.forEach((value, index) => expect(value / plain.coefficients[index]!).toBeCloseTo(1, 12));
    fit.covariance.forEach((row, i) =>
      row.forEach((value, j) => expect(value / plain.covariance[i]![j]!).toBeCloseTo(1, 11)),
    );
    fit.residuals.forEach((value, index) => expect(value).toBeCloseTo(plain.residuals[index]!, 12));
    expect(fit.degreesOfFreedom).toBe(2);
    expect(fit.residualStandardDeviation).toBeCloseTo(plain.residualStandardDeviation, 12);
  });

  it("of degree 0 is the weighted mean", () => {
    const fit = fitted({ x: [5, 5, 5], y: [1, 2, 6], degree: 0 });
    expect(fit.coefficients).toEqual([3]);
    expect(fit.standardErrors[0]).toBeCloseTo(Math.sqrt(7 / 3), 14);
  });

  it("passes through as many points as it has coefficients", () => {
    const fit = fitted({ x: [1, 2, 3], y: [2, 3, 6], degree: 2 });
    expect(fit.coefficients.map((value) => Number(value.toFixed(12)))).toEqual([3, -2, 1]);
    expect(fit.degreesOfFreedom).toBe(0);
  });

  it("finds any polynomial again, wherever the points lie", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1, maxLength: 6 }),
        fc.integer({ min: -500, max: 500 }),
        fc.integer({ min: 1, max: 40 }),
        (truth, start, step) => {
          const at = Array.from({ length: truth.length + 3 }, (_, index) => start + index * step);
          const value = (t: number): number => truth.reduceRight((sum, c) => sum * t + c, 0);
          const fit = fitted({ x: at, y: at.map(value), degree: truth.length - 1 });
          const size = Math.max(...at.map((t) => Math.abs(value(t))), 1);
          for (const t of at) {
            const again = fit.coefficients.reduceRight((sum, c) => sum * t + c, 0);
            // Powers of x far from 0 cancel when they are summed: as much as their terms are larger than the sum.
            const terms = fit.coefficients.reduce((sum, c, power) => sum + Math.abs(c * t ** power), 0);
            expect(Math.abs(again - value(t))).toBeLessThan(1e-11 * Math.max(size, terms));
          }
        },
      ),
      { seed: 20260301, numRuns: 200 },
    );
  });

  it("moves with its points: a shift of y moves the constant alone, a scale of x scales the powers", () => {
    const fit = fitted({ x, y, degree: 2 });
    const up = fitted({ x, y: y.map((value) => value + 1), degree: 2 });
    expect(up.coefficients[0]! - fit.coefficients[0]!).toBeCloseTo(1, 12);
    expect(up.coefficients[2]!).toBeCloseTo(fit.coefficients[2]!, 14);
    const wide = fitted({ x: x.map((value) => value * 10), y, degree: 2 });
    expect(wide.coefficients[2]! * 100).toBeCloseTo(fit.coefficients[2]!, 14);
    expect(wide.standardErrors[1]! * 10).toBeCloseTo(fit.standardErrors[1]!, 12);
  });

  const repeated = [1, 2, 3.7].flatMap((at) => [at, at, at, at]);

  it("goes up to degree 20 and is told by the points' own x alone", () => {
    const many = Array.from({ length: 41 }, (_, index) => index / 20 - 1);
    const fit = fitted({ x: many, y: many.map((at) => at ** 20), degree: 20 });
    expect(fit.coefficients[20]).toBeCloseTo(1, 6);
    // A single x far from 0: the constant is the mean, whatever the x.
    for (const at of [0, 1e-3, 7, 1e9]) expect(fitted({ x: [at, at], y: [1, 3], degree: 0 }).coefficients).toEqual([2]);
  });

  it.each([
    ["no points", { x: [], y: [], degree: 1 }, "shape"],
    ["x without y", { x: [1, 2], y: [1], degree: 1 }, "shape"],
    ["a broken degree", { x: [1, 2, 3], y: [1, 2, 3], degree: 1.5 }, "shape"],
    ["a negative degree", { x: [1, 2, 3], y: [1, 2, 3], degree: -1 }, "shape"],
    ["a degree beyond 20", { x: [1, 2, 3], y: [1, 2, 3], degree: 21 }, "shape"],
    ["not a number", { x: [1, Number.NaN], y: [1, 2], degree: 0 }, "not-finite"],
    ["an infinite y", { x: [1, 2], y: [1, Infinity], degree: 0 }, "not-finite"],
    ["no uncertainty", { x: [1, 2], y: [1, 2], degree: 0, uncertainties: [1, 0] }, "not-finite"],
    ["too few points", { x: [1, 2], y: [1, 2], degree: 2 }, "too-few-observations"],
    ["the same x again and again", { x: [1, 1, 1], y: [1, 2, 3], degree: 1 }, "not-independent"],
    [
      "three different x for six coefficients",
      { x: repeated, y: repeated.map(Math.sin), degree: 5 },
      "not-independent",
    ],
    ["as many different x as the degree", { x: [1, 2, 1, 2], y: [1, 2, 3, 4], degree: 2 }, "not-independent"],
    ["x so close that powers overflow", { x: [0, 1e-200, 2e-200], y: [1, 2, 4], degree: 2 }, "not-finite"],
    ["numbers at the end of the scale", { x: [1e308, -1e308, 0], y: [1e308, 1, 2], degree: 2 }, "not-finite"],
  ] as const)("says why there is none: %s", (_, input, reason) => {
    expect(fitPolynomial(input)).toEqual({ ok: false, reason });
  });
});
