import * as fc from "fast-check";
import { describe, expect, it, vi } from "vitest";
import { outside } from "./conversion.ts";
import { Curve } from "./curve.ts";
import { PolynomialPiece } from "./polynomial-piece.ts";

const piece = (lower: number, upper: number, coefficients: readonly number[], centre = 0): PolynomialPiece =>
  new PolynomialPiece({ lower, upper }, Float64Array.from(coefficients), { centre, scale: 1 });

/** sign·((t − middle)³/3 − apart²·(t − middle)): it turns round at middle ± apart, and nowhere else. */
const cubic = (lower: number, upper: number, middle: number, apart: number, sign = 1): Curve =>
  new Curve([piece(lower, upper, [0, -sign * apart * apart, 0, sign / 3], middle)]);

describe("a curve that turns round", () => {
  // A 96th of the range is the grid on which turning points are looked for: the two lie from a hundredth of it to several apart.
  it("is cut exactly there, however close two turning points lie (seed 96)", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1.6, max: 4.6, noNaN: true }),
        fc.double({ min: -4, max: -0.7, noNaN: true }),
        fc.constantFrom(1 as const, -1 as const),
        (middle, logarithm, sign) => {
          const apart = 10 ** logarithm;
          const curve = cubic(-2, 5, middle, apart, sign);
          const [first, second] = [middle - apart, middle + apart];
          const near = 1e-6 * apart + 1e-13 / apart;
          const [before, between, after] = [-1.9, middle, 4.9].map((t) => curve.stretchAround(t)!);
          expect([before!.direction, between!.direction, after!.direction]).toEqual([sign, -sign, sign]);
          for (const [found, truth] of [
            [before!.lower, -2],
            [before!.upper, first],
            [between!.lower, first],
            [between!.upper, second],
            [after!.lower, second],
            [after!.upper, 5],
          ] as const) {
            expect(Math.abs(found - truth)).toBeLessThanOrEqual(near);
          }
          expect(curve.rises).toBe(false);
        },
      ),
      { seed: 96, numRuns: 150 },
    );
  });

  it("is cut on the very points of the grid, too", () => {
    for (const node of [1, 32, 48, 95]) {
      const middle = -3 + (6 * node) / 96;
      const curve = new Curve([piece(-3, 3, [0, 0, 1], middle)]);
      expect(curve.stretchAround(-3)).toEqual({ lower: -3, upper: middle, direction: -1 });
      expect(curve.stretchAround(3)).toEqual({ lower: middle, upper: 3, direction: 1 });
      expect(new Curve([piece(-3, 3, [0, 0, 0, 1], middle)]).rises).toBe(true);
    }
  });

  it("is not cut where its slope only becomes small", () => {
    for (const middle of [0.1, 1.2345, 3]) {
      const rising = new Curve([piece(-2, 5, [0, 1e-9, 0, 1 / 3], middle)]);
      expect(rising.stretchAround(middle)).toEqual({ lower: -2, upper: 5, direction: 1 });
      expect(rising.rises).toBe(true);
      const falling = new Curve([piece(-2, 5, [0, -1e-9, 0, -1 / 3], middle)]);
      expect(falling.stretchAround(-2)).toEqual({ lower: -2, upper: 5, direction: -1 });
      expect(falling.rises).toBe(false);
    }
  });

  it("has every temperature of a signal as candidate, in rising order, and no answer where there are several", () => {
    const curve = cubic(-3, 3, 0, 1);
    // t³/3 − t: 2/3 at −1, −2/3 at 1, ∓6 at the ends; −1.7320508, 0 and 1.7320508 at 0.
    const zeros = curve.candidates(0);
    [-Math.sqrt(3), 0, Math.sqrt(3)].forEach((t, index) => expect(zeros[index]).toBeCloseTo(t, 12));
    expect(zeros).toHaveLength(3);
    expect(curve.candidates(0.7)).toHaveLength(1);
    expect(curve.candidates(-0.7)).toHaveLength(1);
    expect(curve.candidates(6.1)).toEqual([]);
    expect(curve.candidates(-6.1)).toEqual([]);
    expect(curve.solve(0)).toBeNaN();
    expect(curve.solve(6.1)).toBe(outside);
    expect(curve.solve(-6.1)).toBe(outside);
    expect(curve.solve(4.5)).toBeCloseTo(2.79746, 5);
    expect(curve.signals).toEqual({ lower: -6, upper: 6 });
    expect(curve.temperatures).toEqual({ lower: -3, upper: 3 });
  });

  it("belongs with its ends to a stretch, and with nothing beyond them", () => {
    const curve = cubic(-3, 3, 0, 1);
    expect(curve.stretchAround(-3)!.direction).toBe(1);
    expect(curve.stretchAround(3)!.direction).toBe(1);
    expect(curve.stretchAround(-3.1)).toBeUndefined();
    expect(curve.stretchAround(3.1)).toBeUndefined();
  });

  it("has ends as wide as rounding", () => {
    const curve = new Curve([piece(10, 20, [0, 1])]);
    expect(curve.solve(20 * (1 + 2 ** -50))).toBe(20);
    expect(curve.solve(10 - 20 * 2 ** -50)).toBe(10);
    expect(curve.candidates(20 * (1 + 2 ** -50))).toEqual([20]);
    expect(curve.candidates(10 - 20 * 2 ** -50)).toEqual([10]);
    expect(curve.solve(20 * (1 + 2 ** -46))).toBe(outside);
    expect(curve.solve(10 - 20 * 2 ** -46)).toBe(outside);
  });
});

describe("joined pieces that do not meet", () => {
  it.each([1, -1])("leave a gap to the seam and an overlap to the lower piece (direction %s)", (sign) => {
    const apart = new Curve([piece(0, 1, [0, sign]), piece(1, 2, [0.25 * sign, sign])]);
    expect(apart.solve(1.1 * sign)).toBe(1);
    expect(apart.solve(0.5 * sign)).toBeCloseTo(0.5, 14);
    expect(apart.solve(1.75 * sign)).toBeCloseTo(1.5, 14);
    const over = new Curve([piece(0, 1, [0, sign]), piece(1, 2, [-0.25 * sign, sign])]);
    expect(over.solve(0.9 * sign)).toBeCloseTo(0.9, 14);
    expect(over.solve(1.05 * sign)).toBeCloseTo(1.3, 14);
    expect(over.value(1)).toBe(sign);
    expect(over.slope(2)).toBe(sign);
  });
});

describe("the starts of the inverse", () => {
  it.each([
    ["bent upwards", piece(-1, 3, [0, 1, 0.15])],
    ["falling", piece(-1, 3, [2, -1, 0.1])],
    [
      "with an exponential",
      new PolynomialPiece({ lower: -1, upper: 3 }, Float64Array.of(0, 1), undefined, {
        amplitude: 1,
        rate: 0.05,
        centre: -1.5,
      }),
    ],
  ])("are a table made once, so near that one step of Newton's is left: %s", (_, one) => {
    const solve = vi.spyOn(one, "solve");
    const curve = new Curve([one]);
    const [from, to] = [one.value(-1), one.value(3)];
    expect(solve).not.toHaveBeenCalled();
    const answers = Array.from({ length: 200 }, (__, index) => {
      const truth = -1 + 4 * ((index + 0.37) / 200);
      const t = curve.solve(one.value(truth));
      expect(Math.abs(t - truth)).toBeLessThan(1e-13);
      return t;
    });
    const calls = solve.mock.calls;
    expect(calls).toHaveLength(255 + answers.length);
    calls.forEach(([signal, , start, low, high], index) => {
      expect((signal - from) * (signal - to)).toBeLessThan(0);
      const t = solve.mock.results[index]!.value as number;
      expect(Math.abs(start - t)).toBeLessThan(index < 255 ? 5e-4 : 5e-9);
      expect(start >= low && start <= high).toBe(true);
    });
  });

  it("stay in their cell up to a turning point, where the inverse becomes steep", () => {
    const one = piece(-1, 3, [0, 0, 1]);
    const solve = vi.spyOn(one, "solve");
    const curve = new Curve([one]);
    for (const t of [3e-7, 1e-5, 1e-3, 0.01, 0.2, 0.9]) {
      const [left, right] = curve.candidates(t * t);
      expect(Math.abs(left! + t)).toBeLessThan(1e-7);
      expect(Math.abs(right! - t)).toBeLessThan(1e-7);
    }
    for (const [, , start, low, high] of solve.mock.calls) {
      expect(start >= low && start <= high).toBe(true);
      expect(high - low).toBeGreaterThan(0);
    }
  });
});
