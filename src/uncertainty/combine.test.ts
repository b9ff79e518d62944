import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import endGauge from "../../test/fixtures/uncertainty/gum-h1.json" with { type: "json" };
import block from "../../test/fixtures/uncertainty/ea-4-02-s11.json" with { type: "json" };
import totals from "../../test/fixtures/uncertainty/worked-totals.json" with { type: "json" };
import type { Budget, BudgetLine } from "./budget.ts";
import { combine } from "./combine.ts";
import { standardUncertaintyOfLimits } from "./distribution.ts";

const faultOf = (budget: Budget): string => {
  const outcome = combine(budget);
  if (outcome.ok) throw new Error(`combined to ${JSON.stringify(outcome.value)}`);
  expect(outcome.fault.code).toBe("uncertainty.invalid");
  return outcome.fault.message;
};

describe("JCGM 100:2008, H.1: an end gauge of 50 mm", () => {
  const { inputs, published } = endGauge;
  const rectangular = (halfWidth: number): number => standardUncertaintyOfLimits(halfWidth, "rectangular");
  const budget: Budget = {
    level: 0.99,
    lines: [
      { name: "length of the standard", value: inputs.l_S.value, u: inputs.l_S.u, dof: inputs.l_S.dof },
      { name: "difference", value: inputs.d.value, u: inputs.d.u, dof: inputs.d.dof },
      {
        name: "difference of expansion coefficients",
        u: rectangular(inputs.d_alpha_perC.halfwidth),
        dof: inputs.d_alpha_perC.dof,
        sensitivity: -inputs.l_S.value * inputs.theta_C.value,
        distribution: "rectangular",
      },
      {
        name: "difference of temperatures",
        u: rectangular(inputs.d_theta_C.halfwidth),
        dof: inputs.d_theta_C.dof,
        sensitivity: -inputs.l_S.value * inputs.alpha_S_perC.value,
        distribution: "rectangular",
      },
    ],
  };

  it("has the length, the standard uncertainty 32 nm and 16.7 degrees of freedom [U1, U2]", () => {
    const result = unwrap(combine(budget));
    expect(result.value).toBe(published.l_nm);
    expect(Math.round(result.u)).toBe(published.u_c_nm);
    // The guide gives 16.7; from its own unrounded inputs it is 16.75.
    expect(result.dof).toBeCloseTo(16.75, 1);
    expect(
      result.lines.map((line) =>
        Number(line.contribution.toPrecision(line.contribution < 20 ? (line.contribution < 10 ? 2 : 3) : 2)),
      ),
    ).toEqual(Object.values(published.contributions_nm));
  });

  it("is expanded with t(16) = 2.92, truncated and not interpolated, to 93 nm [U4]", () => {
    const result = unwrap(combine(budget));
    expect(result.k.toFixed(2)).toBe(published.t99.toFixed(2));
    // The guide multiplies the rounded 32 nm by 2.92.
    expect(Math.round(result.k * Math.round(result.u))).toBe(published.U99_nm);
  });
});

describe("EA-4/02, example S11: a block calibrator at 180 °C", () => {
  const result = unwrap(
    combine({
      lines: block.budget.map((line) => ({
        name: line.quantity,
        value: Number(line.estimate_C),
        u: line.u_mK / 1000,
        sensitivity: line.c,
        distribution: line.distribution as "normal" | "rectangular",
      })),
    }),
  );

  it("has the published contributions and u = 0.164 K [U1, U5]", () => {
    expect(result.u.toFixed(3)).toBe(block.published.u_C.toFixed(3));
    expect(result.value).toBe(block.published.t_X_C);
    expect(result.lines.map((line) => Math.round(line.contribution * 1000))).toEqual(
      block.published.rounded_contributions_mK,
    );
    expect(result.lines[5]!.share).toBeGreaterThan(0.75);
  });
});

describe.each(Object.entries(totals.budgets))("worked total: %s", (_, worked) => {
  it("has the published sum [U1, U2]", () => {
    const lines: BudgetLine[] = [
      ...worked.normalU.map((U) => ({ u: U / worked.k })),
      ...worked.rectangular.map(([halfWidth, sensitivity]) => ({
        u: standardUncertaintyOfLimits(halfWidth!, "rectangular"),
        sensitivity: sensitivity!,
      })),
      ...worked.standard.map(([u, dof]) => ({ u: u!, dof: dof! })),
    ].map((line, index) => ({ name: `line ${index + 1}`, ...line }));
    const result = unwrap(combine({ lines }));
    // The sensitivities are given to four digits.
    expect(Math.abs(result.u - Number(worked.published.u))).toBeLessThan(1e-4);
    expect(Math.abs(result.U - Number(worked.published.U))).toBeLessThan(0.0008);
  });
});

describe("degrees of freedom", () => {
  it("are infinite when no line has any, and k is then 2.00 [U2, U4]", () => {
    const result = unwrap(
      combine({
        lines: [
          { name: "a", u: 3 },
          { name: "b", u: 4 },
        ],
      }),
    );
    expect(result).toMatchObject({ u: 5, dof: Number.POSITIVE_INFINITY });
    expect(result.k).toBeCloseTo(2, 4);
  });

  it("of a single line are its own, also when they are whole only up to rounding [U2, U4]", () => {
    const result = unwrap(
      combine({
        lines: [
          { name: "a", u: 0.1, dof: 9 },
          { name: "b", u: 0 },
        ],
      }),
    );
    expect(result.dof).toBeCloseTo(9, 12);
    expect(result.k).toBeCloseTo(2.32, 2);
  });

  it("of correlated lines count once, with the fewest [U3]", () => {
    const lines = [
      { name: "a", u: 1, dof: 4 },
      { name: "b", u: 1, dof: 9 },
      { name: "c", u: 1 },
    ];
    const together = unwrap(combine({ lines, correlations: [{ a: "a", b: "b", r: 1 }] }));
    expect(together.u).toBeCloseTo(Math.sqrt(5), 12);
    // One term of variance 4 with 4 degrees of freedom, in a variance of 5.
    expect(together.dof).toBeCloseTo(25 / (16 / 4), 12);
    const apart = unwrap(combine({ lines }));
    expect(apart.dof).toBeCloseTo(9 / (1 / 4 + 1 / 9), 12);
    // A partner with infinitely many brings none of its variance.
    const known = unwrap(combine({ lines, correlations: [{ a: "a", b: "c", r: 1 }] }));
    expect(known.dof).toBeCloseTo(25 / (1 / 4 + 1 / 9), 12);
  });
});

describe("correlations", () => {
  const two = [
    { name: "a", u: 3 },
    { name: "b", u: 4, sensitivity: -1 },
  ];
  it.each([
    [1, 1],
    [-1, 7],
    [0, 5],
    [0.5, Math.sqrt(13)],
  ])("r = %d between terms of opposite sign gives %d [U1]", (r, u) => {
    expect(unwrap(combine({ lines: two, correlations: [{ a: "a", b: "b", r }] })).u).toBeCloseTo(u, 12);
  });

  it("give shares that add to 1, a cancelling one below 0 [U5]", () => {
    const { lines } = unwrap(combine({ lines: two, correlations: [{ a: "a", b: "b", r: 0.9 }] }));
    expect(lines[0]!.share + lines[1]!.share).toBeCloseTo(1, 12);
    expect(lines[0]!.share).toBeLessThan(0);
  });

  it("that cancel everything leave no uncertainty and no share [U1, U5]", () => {
    const result = unwrap(
      combine({
        lines: [
          { name: "a", u: 1 },
          { name: "b", u: 1, sensitivity: -1 },
        ],
        correlations: [{ a: "a", b: "b", r: 1 }],
      }),
    );
    expect(result).toMatchObject({ u: 0, U: 0, dof: Number.POSITIVE_INFINITY });
    expect(result.lines.map((line) => line.share)).toEqual([0, 0]);
  });
});

describe("an agreed coverage factor", () => {
  it("is used as it is, and the level follows [U4]", () => {
    const result = unwrap(combine({ lines: [{ name: "a", u: 0.5 }], k: 2 }));
    expect(result.U).toBe(1);
    expect(result.level).toBeCloseTo(0.9545, 4);
  });
});

describe("numbers that cannot be combined [U6]", () => {
  const a = { name: "a", u: 1 };
  const b = { name: "b", u: 1 };
  const c = { name: "c", u: 1 };
  it.each<[string, Budget, RegExp]>([
    ["no lines", { lines: [] }, /at least one line/],
    ["u not a number", { lines: [a, { name: "b", u: Number.NaN }] }, /line 2 \("b"\)/],
    ["u infinite", { lines: [{ name: "a", u: Number.POSITIVE_INFINITY }] }, /standard uncertainty/],
    ["u negative", { lines: [{ name: "a", u: -1e-9 }] }, /0 or more/],
    ["value not a number", { lines: [{ ...a, value: Number.NaN }] }, /value/],
    ["sensitivity infinite", { lines: [{ ...a, sensitivity: Number.NEGATIVE_INFINITY }] }, /sensitivity/],
    ["dof 0", { lines: [{ ...a, dof: 0 }] }, /degrees of freedom/],
    ["dof negative", { lines: [{ ...a, dof: -3 }] }, /degrees of freedom/],
    ["dof not a number", { lines: [{ ...a, dof: Number.NaN }] }, /degrees of freedom/],
    ["unknown distribution", { lines: [{ ...a, distribution: "log" as "normal" }] }, /distribution/],
    ["a contribution too large", { lines: [{ name: "a", u: 1e308, sensitivity: 1e10 }] }, /too large/],
    ["a sum too large", { lines: [1, 2, 3, 4].map((n) => ({ name: `${n}`, u: 1.7e308 })) }, /too large/],
    [
      "values too large",
      {
        lines: [
          { ...a, value: 1.7e308 },
          { ...b, value: 1.7e308 },
        ],
      },
      /too large/,
    ],
    ["level 1", { lines: [a], level: 1 }, /level/],
    ["level 0", { lines: [a], level: 0 }, /level/],
    ["level not a number", { lines: [a], level: Number.NaN }, /level/],
    ["k 0", { lines: [a], k: 0 }, /coverage factor/],
    ["k infinite", { lines: [a], k: Number.POSITIVE_INFINITY }, /coverage factor/],
    ["|r| above 1", { lines: [a, b], correlations: [{ a: "a", b: "b", r: 1.0001 }] }, /from -1 to 1/],
    ["r not a number", { lines: [a, b], correlations: [{ a: "a", b: "b", r: Number.NaN }] }, /from -1 to 1/],
    ["an unknown name", { lines: [a, b], correlations: [{ a: "a", b: "z", r: 0 }] }, /"z"/],
    ["a name used twice", { lines: [a, a, b], correlations: [{ a: "a", b: "b", r: 0 }] }, /several lines/],
    ["a line with itself", { lines: [a, b], correlations: [{ a: "a", b: "a", r: 1 }] }, /itself/],
    [
      "a pair given twice",
      {
        lines: [a, b],
        correlations: [
          { a: "a", b: "b", r: 1 },
          { a: "b", b: "a", r: 0 },
        ],
      },
      /twice/,
    ],
    [
      "a contradiction",
      {
        lines: [a, b, c],
        correlations: [
          { a: "a", b: "b", r: 1 },
          { a: "b", b: "c", r: 1 },
          { a: "a", b: "c", r: -1 },
        ],
      },
      /positive semi-definite/,
    ],
  ])("%s", (_, budget, words) => {
    expect(faultOf(budget)).toMatch(words);
  });

  it("keeps large, small and zero numbers that can be", () => {
    expect(
      unwrap(
        combine({
          lines: [
            { name: "a", u: 3e200 },
            { name: "b", u: 4e200 },
          ],
        }),
      ).u,
    ).toBeCloseTo(5e200, -190);
    expect(
      unwrap(
        combine({
          lines: [
            { name: "a", u: 3e-200 },
            { name: "b", u: 4e-200 },
          ],
        }),
      ).u / 5e-200,
    ).toBeCloseTo(1, 12);
    expect(unwrap(combine({ lines: [{ name: "a", u: 0, value: -0 }] }))).toMatchObject({ u: 0, U: 0 });
    expect(unwrap(combine({ lines: [{ name: "a", u: 1, dof: 1e300 }] })).k).toBeCloseTo(2, 4);
  });
});
