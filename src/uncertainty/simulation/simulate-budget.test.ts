import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import published from "../../../test/fixtures/uncertainty/jcgm-101-9-2.json" with { type: "json" };
import type { Budget } from "../budget.ts";
import type { Distribution } from "../distribution.ts";
import { combine } from "../combine.ts";
import { simulateBudget } from "./simulate-budget.ts";

const settings = { trials: 200_000, seed: 101 };
const four = (distribution: Distribution, last = 1): Budget => ({
  level: 0.95,
  lines: [1, 1, 1, last].map((u, index) => ({ name: `X${index + 1}`, u, distribution })),
});

describe(`Monte Carlo against ${published.source.title}, seed ${settings.seed}`, () => {
  it.each([
    [published.cases[0]!, four("normal"), 0.03],
    [published.cases[1]!, four("rectangular"), 0.03],
    [published.cases[2]!, four("rectangular", 10), 0.1],
  ] as const)("%j [U16]", (example, budget, slack) => {
    const result = unwrap(simulateBudget(budget, settings));
    expect(Math.abs(result.u - example.u)).toBeLessThan(0.05);
    expect(Math.abs(result.interval[0] - example.interval95[0]!)).toBeLessThan(slack);
    expect(Math.abs(result.interval[1] - example.interval95[1]!)).toBeLessThan(slack);
    expect(Math.abs(result.mean)).toBeLessThan(0.1);
    expect(result.shortest[1] - result.shortest[0]).toBeLessThanOrEqual(result.interval[1] - result.interval[0]);
  });
});

describe("trials", () => {
  it("repeat to the digit with the seed, and differ with another [U15]", () => {
    const one = unwrap(simulateBudget(four("triangular"), { trials: 5000, seed: 7 }));
    expect(unwrap(simulateBudget(four("triangular"), { trials: 5000, seed: 7 }))).toEqual(one);
    expect(unwrap(simulateBudget(four("triangular"), { trials: 5000, seed: 8 })).u).not.toBe(one.u);
  });

  // Half-width of the central 95.45 % of each distribution, in standard deviations (Student: in scales).
  it.each<[Distribution, number, number | undefined, number?]>([
    ["normal", 2, undefined],
    ["rectangular", Math.sqrt(3) * 0.9545, undefined],
    ["triangular", Math.sqrt(6) * (1 - Math.sqrt(1 - 0.9545)), undefined],
    ["u-shaped", Math.SQRT2 * Math.sin((0.9545 * Math.PI) / 2), undefined],
    ["student", 2.65, 5],
    ["student", 2, undefined],
    // A trapezoid whose top is as wide as its base, or a point.
    ["trapezoid", Math.sqrt(3) * 0.9545, undefined, 1],
    ["trapezoid", Math.sqrt(6) * (1 - Math.sqrt(1 - 0.9545)), undefined, 0],
  ])("of a %s line have the quantiles of their distribution, ±%d [U16]", (distribution, half, dof, shape) => {
    const lines = [
      {
        name: "x",
        value: 10,
        u: 0.5,
        sensitivity: -2,
        distribution,
        ...(dof === undefined ? {} : { dof }),
        ...(shape === undefined ? {} : { shape }),
      },
    ];
    const { interval, mean } = unwrap(simulateBudget({ lines }, settings));
    expect(Math.abs(mean + 20)).toBeLessThan(0.02);
    expect(Math.abs((interval[1] - interval[0]) / 2 - half)).toBeLessThan(0.03);
  });

  it("of correlated normal lines agree with the law of propagation [U1, U16]", () => {
    const budget: Budget = {
      lines: [
        { name: "a", u: 3 },
        { name: "b", u: 4, sensitivity: -1 },
        { name: "c", u: 1, distribution: "rectangular" },
      ],
      correlations: [{ a: "a", b: "b", r: 0.8 }],
    };
    expect(Math.abs(unwrap(simulateBudget(budget, settings)).u - unwrap(combine(budget)).u)).toBeLessThan(0.02);
  });

  it("are refused where they cannot be drawn [U6]", () => {
    const tied: Budget = {
      lines: [
        { name: "a", u: 1 },
        { name: "b", u: 1, distribution: "rectangular" },
      ],
      correlations: [{ a: "a", b: "b", r: 0.5 }],
    };
    expect(simulateBudget(tied, settings)).toMatchObject({
      ok: false,
      fault: { code: "uncertainty.invalid", data: { name: "b" } },
    });
    expect(simulateBudget({ ...tied, lines: tied.lines.toReversed() }, settings)).toMatchObject({
      fault: { data: { name: "b" } },
    });
    expect(simulateBudget({ lines: [] }, settings).ok).toBe(false);
    expect(simulateBudget(four("normal"), { trials: 10, seed: 1 }).ok).toBe(false);
    expect(simulateBudget(four("normal"), { trials: 1e9, seed: 1 }).ok).toBe(false);
    expect(simulateBudget(four("normal"), { trials: 5000, seed: Number.NaN }).ok).toBe(false);
    expect(simulateBudget({ lines: [{ name: "a", u: 1.7e308 }] }, { trials: 5000, seed: 1 }).ok).toBe(false);
  });
});
