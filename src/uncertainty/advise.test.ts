import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import furnace from "../../test/fixtures/uncertainty/ea-4-02-s5.json" with { type: "json" };
import { advise } from "./advise.ts";
import type { Budget } from "./budget.ts";
import { combine } from "./combine.ts";
import type { Distribution } from "./distribution.ts";

const advised = (budget: Budget) => advise(budget, unwrap(combine(budget)));

describe("EA-4/02, example S5: type N at 1000 °C", () => {
  const lines = furnace.furnace.lines.map((line) => ({ ...line, distribution: line.distribution as Distribution }));

  it("has u = 0.641 K and U = 1.3 K [U1]", () => {
    const combined = unwrap(combine({ lines, level: 0.95 }));
    // The contributions of the example are rounded; they give 0.6405 K.
    expect(Math.abs(combined.u - furnace.furnace.published.u)).toBeLessThan(0.001);
    expect(combined.U.toFixed(1)).toBe(furnace.furnace.published.U.toFixed(1));
  });

  it("is ruled by the furnace, and that is said [U26]", () => {
    const { dominant, advice } = advised({ lines });
    expect(dominant.map(({ name }) => name)).toEqual(["dt_F, furnace"]);
    expect(advice.find(({ kind }) => kind === "improve")).toMatchObject({ lines: ["dt_F, furnace"] });
    expect(advice.find(({ kind }) => kind === "shape")!.words).toMatch(/Monte Carlo/);
    expect(advice.find(({ kind }) => kind === "negligible")!.lines).toContain("dV_iS2, resolution");
  });

  it("has its emf at 1000 °C lower than at 1000.5 °C: the sign of the correction", () => {
    const { indicated, at, nominal, kelvinPerMicrovolt, right, wrongSign } = furnace.emf;
    const emf = indicated + (nominal - at) / kelvinPerMicrovolt;
    expect(Math.round(emf)).toBe(right);
    expect(Math.round(emf)).not.toBe(wrongSign);
    // u of the emf, 25.0 µV: the furnace's 0.641 K through the slope dominates it.
    expect(Math.abs(furnace.furnace.published.u / kelvinPerMicrovolt - 25)).toBeLessThan(0.4);
  });
});

describe("advice [U26]", () => {
  it("names the fewest lines that make four fifths of u², largest first, with the U that half their u would give", () => {
    const budget: Budget = {
      lines: [
        { name: "a", u: 1 },
        { name: "b", u: 3 },
        { name: "c", u: 2 },
      ],
    };
    const { dominant, advice } = advised(budget);
    expect(dominant.map(({ name }) => name)).toEqual(["b", "c"]);
    const half = unwrap(
      combine({
        lines: [
          { name: "a", u: 1 },
          { name: "b", u: 1.5 },
          { name: "c", u: 2 },
        ],
      }),
    );
    expect(advice[0]).toMatchObject({ kind: "improve", lines: ["b"], U: half.U });
    expect(advice[0]!.words).toContain("64.3 %");
  });

  it("says what few readings cost, and what more of them would give", () => {
    const { advice } = advised({
      lines: [
        { name: "readings", u: 1, dof: 3, distribution: "student" },
        { name: "x", u: 0.3 },
      ],
    });
    const more = advice.find(({ kind }) => kind === "more-readings")!;
    expect(more.lines).toEqual(["readings"]);
    expect(more.U).toBeCloseTo(2 * Math.sqrt(1.09), 3);
    expect(advised({ lines: [{ name: "readings", u: 1, dof: 100 }] }).advice.map(({ kind }) => kind)).not.toContain(
      "more-readings",
    );
  });

  it("says which way the correlations work", () => {
    const lines = [
      { name: "a", u: 1 },
      { name: "b", u: 1 },
    ];
    const words = (r: number) =>
      advised({ lines, correlations: [{ a: "a", b: "b", r }] }).advice.find(({ kind }) => kind === "correlation")
        ?.words;
    expect(words(0.5)).toMatch(/raise U from 2.83 to 3.46/);
    expect(words(-0.5)).toMatch(/lower U/);
    expect(words(0)).toBeUndefined();
  });

  it("names the lines that count for nothing, and only where others count", () => {
    const about = (...us: readonly number[]): string | undefined =>
      advised({ lines: us.map((u, index) => ({ name: `line ${index + 1}`, u })) }).advice.find(
        ({ kind }) => kind === "negligible",
      )?.words;
    expect(about(1, 0.05)).toBe('Nothing is won by improving "line 2": it makes less than 1 % of u².');
    expect(about(1, 0.05, 0.02)).toBe(
      'Nothing is won by improving "line 2", "line 3": each makes less than 1 % of u².',
    );
    expect(about(1, 0.5)).toBeUndefined();
    // Each makes one part in 150.
    expect(about(...Array.from({ length: 150 }, () => 1))).toBeUndefined();
  });

  const kinds = (budget: Budget): string[] => advised(budget).advice.map(({ kind }) => kind);

  it("stops at four fifths exactly, and leaves out what would make U larger", () => {
    expect(
      advised({
        lines: [
          { name: "a", u: 1 },
          { name: "b", u: 2 },
        ],
      }).dominant,
    ).toEqual([{ name: "b", share: 0.8 }]);
    // Two lines that nearly cancel: half of one leaves more of the other. u² = 0.12 would become 0.2575.
    const opposed: Budget = {
      lines: [
        { name: "a", u: 1.1 },
        { name: "b", u: 1 },
      ],
      correlations: [{ a: "a", b: "b", r: -0.95 }],
    };
    expect(advised(opposed).dominant.map(({ name }) => name)).toEqual(["a"]);
    expect(kinds(opposed)).not.toContain("improve");
  });

  it("speaks of more readings for the lines that have few and count, in figures", () => {
    const { advice } = advised({
      level: 0.95,
      lines: [
        { name: "readings", u: 1, dof: 4, distribution: "student" },
        { name: "small", u: 0.05, dof: 4, distribution: "student" },
        { name: "many", u: 0.3, dof: 100, distribution: "student" },
      ],
    });
    const more = advice.find(({ kind }) => kind === "more-readings")!;
    expect(more.lines).toEqual(["readings"]);
    // u = √1.0925 = 1.0452; 1.96 times that is 2.05.
    expect(more.U).toBeCloseTo(1.959964 * Math.sqrt(1.0925), 5);
    expect(more.words).toMatch(/for "readings" it would come down to 1\.96, and U to 2\.05 even if u stayed/);
  });

  it("speaks of the shape only where a line of limited spread rules", () => {
    const shape = (distribution: Distribution, u: number) =>
      advised({
        lines: [
          { name: "ruling", u, distribution },
          { name: "other", u: 1 },
        ],
      }).advice.find(({ kind }) => kind === "shape");
    expect(shape("rectangular", 2)).toMatchObject({
      lines: ["ruling"],
      words: expect.stringContaining("80 % of u²") as string,
    });
    expect(shape("rectangular", 1.2)).toBeUndefined();
    expect(shape("normal", 2)).toBeUndefined();
    expect(shape("student", 2)).toBeUndefined();
  });

  it("speaks of correlations that change something, and names their lines", () => {
    const lines = ["a", "b", "c"].map((name, index) => ({ name, u: index === 2 ? 0 : 1 }));
    const between = (...correlations: readonly { a: string; b: string; r: number }[]) =>
      advised({ lines, correlations }).advice.find(({ kind }) => kind === "correlation");
    expect(between({ a: "a", b: "b", r: 0.5 }, { a: "b", b: "c", r: 0 })!.lines).toEqual(["a", "b", "c"]);
    expect(between({ a: "a", b: "c", r: 0.5 })).toBeUndefined();
    expect(kinds({ lines })).not.toContain("correlation");
  });

  it("has nothing to say of a budget without uncertainty", () => {
    expect(advised({ lines: [{ name: "a", u: 0 }] })).toEqual({ dominant: [], advice: [] });
  });
});
