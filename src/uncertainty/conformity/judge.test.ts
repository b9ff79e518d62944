import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { acceptanceForRisk } from "./acceptance.ts";
import { conformanceOfTrials, conformanceProbability } from "./conformance-probability.ts";
import { judge, type Rule, type Verdict } from "./decide.ts";
import type { Limits } from "./limits.ts";

const seed = 108;
const one: Limits = { lower: -1, upper: 1 };

describe("the non-binary statement (ILAC-G8:09/2019, 4.2.3) [U20]", () => {
  const verdict = (value: number, limits: Limits, width = 0.2): Verdict =>
    unwrap(judge({ value, u: width / 2, limits }, { kind: "non-binary", width })).decision;

  it.each<[number, Verdict]>([
    [0, "pass"],
    [0.8, "pass"],
    [0.8001, "conditional-pass"],
    [1, "conditional-pass"],
    [1.0001, "conditional-fail"],
    [1.2, "conditional-fail"],
    [1.2001, "fail"],
    [5, "fail"],
  ])("%d against ±1 with U = 0.2: %s, on either side", (value, decision) => {
    expect(verdict(value, one)).toBe(decision);
    expect(verdict(-value, one)).toBe(decision);
    expect(verdict(value, { upper: 1 })).toBe(decision);
    expect(verdict(-value, { lower: -1 })).toBe(decision);
  });

  it("of limits that are not symmetric goes by each limit", () => {
    const limits = { lower: -0.5, upper: 2 };
    expect([-0.3, -0.4, -0.6, -0.8, 1.8, 1.9, 2.1, 2.3].map((value) => verdict(value, limits))).toEqual([
      "pass",
      "conditional-pass",
      "conditional-fail",
      "fail",
      "pass",
      "conditional-pass",
      "conditional-fail",
      "fail",
    ]);
  });

  it("has the risks that the guide gives: 2.5 % beyond the guard bands, 50 % at the limit [U13]", () => {
    const risk = (value: number): number =>
      unwrap(judge({ value, u: 0.1, limits: { upper: 1 } }, { kind: "non-binary", width: 0.2 })).specificRisk!;
    expect(risk(0.8)).toBeLessThan(0.025);
    expect(risk(1)).toBeCloseTo(0.5, 12);
    expect(risk(1.0000001)).toBeCloseTo(0.5, 5);
    expect(risk(1.2000001)).toBeLessThan(0.025);
  });

  it("is undecided where the guard bands meet, and refuses a width below 0 [U11]", () => {
    for (const value of [0, 1.1, 40]) expect(verdict(value, one, 2.5)).toBe("undecided");
    expect(judge({ value: 0, u: 1, limits: one }, { kind: "non-binary", width: -1 }).ok).toBe(false);
  });
});

describe("a stated specific risk [U21]", () => {
  // Guard bands for one limit in units of u; computed from the normal distribution.
  it.each([
    [0.005, 2.576],
    [0.01, 2.326],
    [0.02, 2.054],
    [0.025, 1.96],
    [0.05, 1.645],
    [0.1, 1.282],
    [0.5, 0],
  ])("%d, one limit: w = %d u", (risk, factor) => {
    expect((10 - unwrap(acceptanceForRisk({ upper: 10 }, 1, risk))!.upper!).toFixed(3)).toBe(factor.toFixed(3));
    expect((unwrap(acceptanceForRisk({ lower: -10 }, 1, risk))!.lower! + 10).toFixed(3)).toBe(factor.toFixed(3));
    // Two limits far apart are each as one alone; at 50 % nothing is far enough.
    expect((10 - unwrap(acceptanceForRisk({ lower: -10, upper: 10 }, 1, risk))!.upper!).toFixed(3)).toBe(
      factor.toFixed(3),
    );
  });

  it("counts both tails where the tolerance is narrow, and is undecided where even its middle is too risky [U11]", () => {
    const u = 1 / 2.4;
    const found = unwrap(acceptanceForRisk(one, u, 0.02))!;
    expect(found.upper).toBeGreaterThan(0);
    expect(1 - found.upper!).toBeGreaterThan(2.0537 * u);
    expect(1 - unwrap(conformanceProbability(found.upper!, u, one))).toBeCloseTo(0.02, 12);
    // z(0.99) = 2.326: the last u for which the middle of ±1 keeps 2 %.
    expect(unwrap(acceptanceForRisk(one, 1 / 2.33, 0.02))).not.toBeNull();
    expect(unwrap(acceptanceForRisk(one, 1 / 2.32, 0.02))).toBeNull();
    expect(unwrap(judge({ value: 0, u: 1 / 2.32, limits: one }, { kind: "specific-risk", limit: 0.02 }))).toMatchObject(
      {
        decision: "undecided",
        acceptance: null,
        specificRisk: null,
      },
    );
  });

  it("is wider with few degrees of freedom, and nothing without uncertainty", () => {
    const few = unwrap(acceptanceForRisk({ upper: 0 }, 1, 0.02, 4))!.upper!;
    // t(0.98; 4) = 2.999 (computed apart with SciPy).
    expect(few.toFixed(3)).toBe("-2.999");
    expect(unwrap(acceptanceForRisk(one, 0, 0.02))).toEqual(one);
  });

  it.each([0, -0.1, 0.51, 1, Number.NaN, Number.POSITIVE_INFINITY])("a limit of %d is refused [U6]", (risk) => {
    expect(acceptanceForRisk(one, 0.1, risk)).toMatchObject({ ok: false, fault: { code: "uncertainty.invalid" } });
  });

  it("an uncertainty that is too large for a number is refused [U6]", () => {
    expect(acceptanceForRisk({ upper: 0 }, 1.7e308, 0.02).ok).toBe(false);
    expect(acceptanceForRisk({}, 1, 0.02).ok).toBe(false);
  });

  it(`no pass is riskier than stated, and no fail less, seed ${seed}`, () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(number(-3, 3), number(0.01, 1), number(0.001, 0.5), number(0, 3), (value, u, limit, width) => {
        const limits = { lower: -width, upper: 1 };
        const judged = unwrap(judge({ value, u, limits }, { kind: "specific-risk", limit }));
        const excess = 1 - judged.conformanceProbability - limit;
        expect(judged.decision === "pass" ? excess : -excess).toBeLessThanOrEqual(1e-7);
      }),
      { seed },
    );
  });
});

describe("the uncritical rule [U10]", () => {
  it("accepts what is not shown to be beyond the limits (ILAC-G8, w = −U)", () => {
    const rule: Rule = { kind: "guard-band", width: -0.2 };
    expect([1.1, 1.2, 1.21].map((value) => unwrap(judge({ value, u: 0.1, limits: one }, rule)).decision)).toEqual([
      "pass",
      "pass",
      "fail",
    ]);
    // A fail is then wrong with 2.5 % or less.
    expect(unwrap(judge({ value: 1.21, u: 0.1, limits: one }, rule)).specificRisk!).toBeLessThan(0.025);
  });
});

describe("the conformance probability of trials [U12]", () => {
  const sorted = Float64Array.of(-2, -1, -1, 0, 0.5, 1, 1, 3);

  it.each<[Limits, number]>([
    [one, 6 / 8],
    [{ upper: 0 }, 4 / 8],
    [{ lower: 1 }, 3 / 8],
    [{ lower: 1, upper: 1 }, 2 / 8],
    [{ lower: 4 }, 0],
    [{ lower: 0.1, upper: 0.2 }, 0],
    [{ upper: 9 }, 1],
  ])("%j: %d", (limits, share) => {
    expect(unwrap(conformanceOfTrials(sorted, limits))).toBe(share);
  });

  it("needs trials and limits", () => {
    expect(conformanceOfTrials(new Float64Array(0), one).ok).toBe(false);
    expect(conformanceOfTrials(sorted, {}).ok).toBe(false);
  });
});
