import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { findRoot } from "./find-root.ts";

describe("findRoot", () => {
  it("finds roots to the spacing of doubles", () => {
    expect(findRoot((x) => x * x - 2, 0, 2)).toBeCloseTo(Math.SQRT2, 15);
    expect(findRoot(Math.cos, 0, 3)).toBeCloseTo(Math.PI / 2, 15);
    expect(findRoot((x) => Math.expm1(x) - 1e-9, -1, 1)).toBeCloseTo(Math.log1p(1e-9), 23);
  });

  it("returns an end that is a root, and nothing without a change of sign", () => {
    expect(findRoot((x) => x, 0, 1)).toBe(0);
    expect(findRoot((x) => x - 1, 0, 1)).toBe(1);
    expect(findRoot((x) => x * x + 1, -1, 1)).toBeUndefined();
    expect(findRoot(() => Number.NaN, -1, 1)).toBeUndefined();
    expect(findRoot((x) => (Math.abs(x) < 0.9 ? Number.NaN : x), -1, 1)).toBeUndefined();
  });

  it("keeps to the tolerance that is asked for, in fewer evaluations", () => {
    const evaluations = (tolerance: number): number => {
      let count = 0;
      const root = findRoot(
        (x) => {
          count += 1;
          return x ** 3 - 5;
        },
        0,
        10,
        { tolerance },
      );
      expect(Math.abs(root! - Math.cbrt(5))).toBeLessThanOrEqual(Math.max(tolerance, 1e-14));
      return count;
    };
    expect(evaluations(1e-3)).toBeLessThan(evaluations(0));
    expect(evaluations(0)).toBeLessThan(20);
  });

  it("stops at the evaluations it may make, and gives the better end", () => {
    const spent = (f: (x: number) => number, low: number, high: number, maximumRounds: number): [number, number] => {
      let count = 0;
      const counted = (x: number): number => {
        count += 1;
        return f(x);
      };
      return [findRoot(counted, low, high, { maximumRounds })!, count];
    };
    expect(spent((x) => x - 0.9, 0, 1, 0)).toEqual([1, 2]);
    expect(spent((x) => x - 0.1, 0, 1, 0)).toEqual([0, 2]);
    expect(spent((x) => x ** 3 - 0.1, 0, 1, 3)[1]).toBe(5);
    // The first halving meets the root.
    expect(spent((x) => x, -1, 1, 50)).toEqual([0, 3]);
    // A straight line needs the halving, one interpolation and the step that confirms it.
    expect(spent((x) => x - 0.3, 0, 1, 50)[1]).toBeLessThanOrEqual(5);
    expect(spent((x) => Math.exp(x) - 2, 0, 3, 50)[1]).toBeLessThanOrEqual(11);
  });

  it("survives steps and flat stretches", () => {
    expect(findRoot((x) => (x < 0.123 ? -1 : 1), -10, 10)).toBeCloseTo(0.123, 14);
    expect(Math.abs(findRoot((x) => (x - 0.2) ** 9, -1, 3)! - 0.2)).toBeLessThan(1e-3);
  });

  it("stays in the bracket for any cubic (seed 20)", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: 0.01, max: 3, noNaN: true }),
        (root, curve) => {
          const f = (x: number): number => (x - root) * (1 + curve * (x - root) ** 2);
          const found = findRoot(f, -6, 6);
          expect(Math.abs(found! - root)).toBeLessThan(1e-13);
        },
      ),
      { seed: 20, numRuns: 300 },
    );
  });
});
