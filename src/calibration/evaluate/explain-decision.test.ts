import { describe, expect, it } from "vitest";
import type { MeasuredPoint } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { explainedDecision } from "./explain-decision.ts";
import { inventedJob, InventedRun } from "./invented-run.test-support.ts";

const measured = evaluate(new InventedRun(inventedJob()).begin().measure({ point: 1, errors: [0.1] }).events).items[0]!
  .passes[0]!.points[1] as MeasuredPoint;
const point = (change: Partial<MeasuredPoint> = {}): MeasuredPoint => ({
  ...measured,
  error: { ...measured.error, value: 0.1234 },
  budget: { ...measured.budget, U: 0.08 },
  conformity: {
    tolerance: { lower: -0.5, upper: 0.5 },
    acceptance: { lower: -0.42, upper: 0.42 },
    decision: "conditional-pass",
    conformanceProbability: 0.975,
    specificRisk: 0.025,
  },
  conformityNote: null,
  ...change,
});
const withProbability = (conformanceProbability: number, specificRisk: number | null) =>
  explainedDecision(
    { kind: "simple" },
    point({ conformity: { ...point().conformity!, conformanceProbability, specificRisk } }),
  ).risks[0]!;

describe("a decision in words [C43]", () => {
  it.each([
    [{ kind: "simple" }, "simple acceptance, w = 0"],
    [{ kind: "guard-band", factor: 0.5 }, "guard band w = 0.5·U = 0.04 K"],
    [{ kind: "specific-risk", limit: 0.02 }, "specific risk of a wrong pass at most 2 %"],
    [{ kind: "g8-non-binary" }, "pass, conditional pass, conditional fail, fail with w = U = 0.08 K"],
  ] as const)("%j has its rule with the values put in", (rule, words) => {
    expect(explainedDecision(rule, point()).rule).toBe(`tolerance -0.5 K to 0.5 K at 100 °C; rule: ${words}`);
    expect(explainedDecision(rule, point({ conformity: null, conformityNote: "none agreed" }))).toEqual({
      rule: words,
      comparison: "no statement: none agreed",
      risks: [],
    });
  });

  it("compares the error with the acceptance limits, or says why nothing is accepted", () => {
    expect(explainedDecision({ kind: "simple" }, point()).comparison).toBe(
      "accepted from -0.42 K to 0.42 K; the error is 0.1234 K: conditional pass",
    );
    const conformity = { ...point().conformity!, acceptance: null, decision: "undecided" as const };
    expect(explainedDecision({ kind: "simple" }, point({ conformity, conformityNote: "no room" })).comparison).toBe(
      "undecided: no room",
    );
  });

  it("writes probabilities near their ends in words", () => {
    expect(withProbability(0.975, 0.025)).toMatch(/conformance 97\.50 %, risk that this decision is wrong 2\.50 %$/);
    expect(withProbability(0.99991, 0.00009)).toMatch(/above 99\.99 %, risk .* below 0\.01 %$/);
    expect(withProbability(0.9999, 0.0001)).toMatch(/conformance 99\.99 %, risk .* 0\.01 %$/);
    expect(withProbability(0.5, null)).toMatch(/conformance 50\.00 %$/);
  });

  it("keeps the global risks apart from the specific one, under their names", () => {
    const prior = {
      of: "item",
      mean: 0.05,
      sd: 0.1,
      observed: 0.11,
      observations: 5,
      from: "2020-05-04",
      to: "2024-05-04",
    };
    const globalRisk = { status: "stated", consumer: 0.012, producer: 0.00001, prior, origin: [0] } as const;
    const { risks } = explainedDecision({ kind: "simple" }, point({ globalRisk } as Partial<MeasuredPoint>));
    expect(risks).toHaveLength(3);
    expect(risks[1]).toMatch(
      /1\.20 % of such items are accepted and do not conform \(consumer\), below 0\.01 % are rejected/,
    );
    expect(risks[2]).toMatch(
      /5 of this item's own earlier errors, 2020-05-04 to 2024-05-04: mean 0\.05 K, standard deviation 0\.1 K .* \(0\.11 K as found\)/,
    );
    const ofClass = { ...globalRisk, prior: { ...prior, of: "class" as const } };
    expect(
      explainedDecision({ kind: "simple" }, point({ globalRisk: ofClass } as Partial<MeasuredPoint>)).risks[2],
    ).toContain("earlier errors of its class");
    const none = { status: "not-stated", reason: "Too short." } as const;
    expect(explainedDecision({ kind: "simple" }, point({ globalRisk: none })).risks.slice(1)).toEqual([
      "global risk: not stated. Too short.",
    ]);
    expect(explainedDecision({ kind: "simple" }, point()).risks).toHaveLength(1);
  });
});
