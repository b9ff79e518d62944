import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { normalQuantile } from "#numerics";
import examples from "../../../test/fixtures/uncertainty/jcgm-106-7-4.json" with { type: "json" };
import { acceptanceLimits } from "./acceptance.ts";
import { conformanceProbability } from "./conformance-probability.ts";
import { decide } from "./decide.ts";
import type { Limits } from "./limits.ts";

const symmetric = (limit: number): Limits => ({ lower: -limit, upper: limit });
const seed = 106;

describe("conformance probability, JCGM 106:2012, 7.4", () => {
  it.each<[string, number, number, Limits, number]>([
    [examples.conformance_probability[0]!.case, -5.47, 0.05, { upper: -5.4 }, examples.conformance_probability[0]!.p_c],
    [examples.conformance_probability[1]!.case, 509.7, 8.6, { lower: 490 }, examples.conformance_probability[1]!.p_c],
  ])("%s [U12]", (_, value, u, limits, published) => {
    expect(unwrap(conformanceProbability(value, u, limits)).toFixed(2)).toBe(published.toFixed(2));
  });

  it.each(examples.one_sided_z.map(({ p_c, z }) => [p_c, z] as const))(
    "Table 1: p_c = %d at z = %d [U12]",
    (published, z) => {
      expect(normalQuantile(published).toFixed(2)).toBe(z.toFixed(2));
      expect(unwrap(conformanceProbability(0, 1, { upper: normalQuantile(published) }))).toBeCloseTo(published, 12);
    },
  );

  // Computed from the normal distribution function; the inputs are common practice, no source.
  it.each([
    [13.6, 1.8, { lower: 12.5, upper: 16.3 }, 0.6626],
    [0.9, 0.1, symmetric(1), 0.84134],
    [0.8, 0.1, symmetric(1), 0.9772],
    [1, 0.1, symmetric(1), 0.5],
    [0.5, 0.3, symmetric(1), 0.9522],
    [1.7, 0.25, symmetric(2.2), 0.9772],
  ])("y = %d, u = %d, limits %j: %d [U12]", (value, u, limits, probability) => {
    expect(unwrap(conformanceProbability(value, u, limits))).toBeCloseTo(probability, 4);
  });

  it("with a guard band of 2u is 0.977 or more at the limit of acceptance [U10, U12]", () => {
    const acceptance = unwrap(acceptanceLimits({ upper: 1 }, 0.2))!;
    expect(unwrap(conformanceProbability(acceptance.upper!, 0.1, { upper: 1 }))).toBeCloseTo(0.97725, 5);
  });

  it("is less with few degrees of freedom, and steps with u = 0 [U12]", () => {
    const normal = unwrap(conformanceProbability(0.8, 0.1, symmetric(1)));
    expect(unwrap(conformanceProbability(0.8, 0.1, symmetric(1), 3))).toBeLessThan(normal);
    expect(unwrap(conformanceProbability(0.99, 0, symmetric(1)))).toBe(1);
    expect(unwrap(conformanceProbability(1.01, 0, symmetric(1)))).toBe(0);
  });
});

describe("acceptance", () => {
  it.each<[string, Limits, number, Limits | null]>([
    ["simple", symmetric(1), 0, symmetric(1)],
    ["guard band", { lower: -2, upper: 1 }, 0.25, { lower: -1.75, upper: 0.75 }],
    ["one-sided", { upper: 5 }, 2, { upper: 3 }],
    ["one-sided below", { lower: 5 }, 2, { lower: 7 }],
    ["nothing left", symmetric(1), 1.1, null],
    ["a single value left", symmetric(1), 1, { lower: 0, upper: 0 }],
    ["uncritical, wider", symmetric(1), -0.5, symmetric(1.5)],
  ])("%s [U10]", (_, limits, w, expected) => {
    expect(unwrap(acceptanceLimits(limits, w))).toEqual(expected);
  });

  it("needs limits that are limits", () => {
    for (const limits of [{}, { lower: 1, upper: 0 }, { upper: Number.NaN }, { lower: Number.NEGATIVE_INFINITY }]) {
      expect(acceptanceLimits(limits, 0)).toMatchObject({ ok: false, fault: { code: "uncertainty.invalid" } });
      expect(conformanceProbability(0, 1, limits).ok).toBe(false);
    }
    expect(acceptanceLimits(symmetric(1), Number.NaN).ok).toBe(false);
    for (const [value, u, dof] of [
      [Number.NaN, 1, 5],
      [0, -1, 5],
      [0, Number.NaN, 5],
      [0, 1, 0],
      [0, 1, Number.NaN],
    ] as const) {
      expect(conformanceProbability(value, u, symmetric(1), dof).ok).toBe(false);
    }
  });
});

describe("decisions", () => {
  const judged = (value: number, guardBand: number, u = 0.1) =>
    unwrap(decide({ value, u, limits: symmetric(1), guardBand }));

  it("pass inside, fail outside, and say the risk of being wrong [U10, U13]", () => {
    expect(judged(0.9, 0)).toMatchObject({ decision: "pass", acceptance: symmetric(1) });
    expect(judged(0.9, 0).specificRisk).toBeCloseTo(0.1587, 4);
    expect(judged(0.9, 0.2)).toMatchObject({ decision: "fail" });
    expect(judged(0.9, 0.2).specificRisk).toBeCloseTo(0.84134, 4);
    expect(judged(-1.2, 0)).toMatchObject({ decision: "fail" });
    expect(judged(-1.2, 0).specificRisk).toBeCloseTo(0.0228, 4);
  });

  it("are not taken where nothing can be accepted, however far off the value is [U11]", () => {
    for (const value of [0, 0.99, 50]) {
      expect(judged(value, 1.2, 0.6)).toMatchObject({ decision: "undecided", acceptance: null, specificRisk: null });
    }
  });

  it("count a value at the limit as inside, whatever binary arithmetic makes of it [U14]", () => {
    expect(20.3 - 20).toBeGreaterThan(0.3);
    expect(unwrap(decide({ value: 20.3 - 20, u: 0.1, limits: symmetric(0.3), guardBand: 0 })).decision).toBe("pass");
    expect(unwrap(decide({ value: 0.300001, u: 0.1, limits: symmetric(0.3), guardBand: 0 })).decision).toBe("fail");
  });

  it("hand on what cannot be judged", () => {
    expect(decide({ value: Number.NaN, u: 1, limits: symmetric(1), guardBand: 0 }).ok).toBe(false);
    expect(decide({ value: 0, u: 1, limits: symmetric(1), guardBand: Number.NaN }).ok).toBe(false);
  });

  it(`mirror: the sign of value and limits does not matter, seed ${seed} [U10, U12]`, () => {
    const number = fc.double({ min: -3, max: 3, noNaN: true });
    fc.assert(
      fc.property(
        number,
        fc.double({ min: 0.001, max: 2, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (value, u, guardBand) => {
          const one = unwrap(decide({ value, u, limits: { lower: -1, upper: 0.5 }, guardBand }));
          const other = unwrap(decide({ value: -value, u, limits: { lower: -0.5, upper: 1 }, guardBand }));
          expect(other.decision).toBe(one.decision);
          expect(other.conformanceProbability).toBeCloseTo(one.conformanceProbability, 10);
        },
      ),
      { seed },
    );
  });
});
