import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import type { BudgetLine } from "./budget.ts";
import { combine } from "./combine.ts";

const seed = 20_260_331;
const settings = { seed, numRuns: 200 };

const line = fc.record({
  value: fc.double({ min: -1e3, max: 1e3, noNaN: true }),
  u: fc.double({ min: 1e-6, max: 10, noNaN: true }),
  dof: fc.oneof(fc.constant(Number.POSITIVE_INFINITY), fc.double({ min: 1, max: 500, noNaN: true })),
  sensitivity: fc.double({ min: 0.01, max: 100, noNaN: true }),
});
const lines = fc
  .array(line, { minLength: 1, maxLength: 12 })
  .map((rows): BudgetLine[] => rows.map((row, index) => ({ ...row, name: `line ${index}` })));
const relative = (a: number, b: number): number => (a === b ? 0 : Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b)));

describe(`budgets, seed ${seed}`, () => {
  it("do not depend on the order of their lines [U7]", () => {
    fc.assert(
      fc.property(lines, (rows) => {
        const there = unwrap(combine({ lines: rows }));
        const back = unwrap(combine({ lines: rows.toReversed() }));
        expect(relative(there.u, back.u)).toBeLessThan(1e-12);
        expect(relative(there.dof, back.dof)).toBeLessThan(1e-10);
        expect(there.k).toBe(back.k);
      }),
      settings,
    );
  });

  it("scale with the unit of the result [U7]", () => {
    fc.assert(
      fc.property(lines, fc.double({ min: 1e-3, max: 1e3, noNaN: true }), (rows, factor) => {
        const plain = unwrap(combine({ lines: rows }));
        const scaled = unwrap(
          combine({ lines: rows.map((row) => ({ ...row, sensitivity: row.sensitivity! * factor })) }),
        );
        expect(relative(scaled.u, plain.u * factor)).toBeLessThan(1e-12);
        expect(relative(scaled.dof, plain.dof)).toBeLessThan(1e-10);
      }),
      settings,
    );
  });

  it("have at least the fewest degrees of freedom of their lines, and shares that add to 1 [U2, U5]", () => {
    fc.assert(
      fc.property(lines, (rows) => {
        const result = unwrap(combine({ lines: rows }));
        expect(result.dof).toBeGreaterThanOrEqual(Math.min(...rows.map((row) => row.dof!)) * (1 - 1e-12));
        expect(result.lines.reduce((sum, row) => sum + row.share, 0)).toBeCloseTo(1, 10);
      }),
      settings,
    );
  });

  it("grow with every line's uncertainty when nothing is correlated [U1]", () => {
    fc.assert(
      fc.property(lines, fc.nat(), (rows, pick) => {
        const chosen = pick % rows.length;
        const wider = rows.map((row, index) => (index === chosen ? { ...row, u: row.u * 1.5 } : row));
        expect(unwrap(combine({ lines: wider })).u).toBeGreaterThanOrEqual(unwrap(combine({ lines: rows })).u);
      }),
      settings,
    );
  });

  it("are answered whatever the numbers, by a finite U or by a failure [U6]", () => {
    const hostile = fc.oneof(fc.double(), fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, -0, 1e308, 5e-324));
    const row = fc.record({
      name: fc.constantFrom("a", "b", "c"),
      value: hostile,
      u: hostile,
      dof: hostile,
      sensitivity: hostile,
    });
    const tie = fc.record({ a: fc.constantFrom("a", "b", "d"), b: fc.constantFrom("a", "b", "c"), r: hostile });
    fc.assert(
      fc.property(
        fc.array(row, { maxLength: 4 }),
        fc.array(tie, { maxLength: 2 }),
        hostile,
        (rows, correlations, level) => {
          const outcome = combine({ lines: rows, correlations, level });
          expect(outcome.ok ? Number.isFinite(outcome.value.U) : outcome.fault.code === "uncertainty.invalid").toBe(
            true,
          );
        },
      ),
      { seed, numRuns: 1000 },
    );
  });
});
