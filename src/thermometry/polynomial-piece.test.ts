import { describe, expect, it } from "vitest";
import { PolynomialPiece } from "./polynomial-piece.ts";

/** ±(3t − t³) in the variable t − 40, between its turning points: its root has the closed form 2·sin(arcsin(g/2)/3). */
const middle = 40;
const piece = (sign: 1 | -1): PolynomialPiece =>
  new PolynomialPiece({ lower: middle - 1, upper: middle + 1 }, Float64Array.of(0, 3 * sign, 0, -sign), {
    centre: middle,
    scale: 1,
  });
const ends = 0.999;

describe("the inverse of one piece", () => {
  // Near a turning point Newton's step leads far out, to a stretch with roots of its own: it must be halved instead.
  it.each([1, -1] as const)("is found from any start in its bracket, and stays there (direction %s)", (sign) => {
    const one = piece(sign);
    const [low, high] = [middle - ends, middle + ends];
    for (const goal of [-1.9, -1, -0.3, 0, 1e-6, 0.8, 1.5, 1.99]) {
      const root = middle + 2 * Math.sin(Math.asin((goal * sign) / 2) / 3);
      for (const start of [-ends, -0.99, -0.6, 0, 0.2, 0.7, 0.98, ends]) {
        expect(Math.abs(one.solve(goal, sign, middle + start, low, high) - root)).toBeLessThan(2e-13);
      }
    }
  });

  it("is the end of the bracket where the root is within rounding of it", () => {
    const line = new PolynomialPiece({ lower: 10, upper: 20 }, Float64Array.of(0, 1));
    expect(line.solve(15, 1, 12, 10, 15)).toBe(15);
    expect(line.solve(15 + 2 ** -49, 1, 12, 10, 15)).toBeCloseTo(15, 12);
    expect(line.solve(10 - 2 ** -49, 1, 12, 10, 15)).toBeCloseTo(10, 12);
    expect(line.solve(12, 1, 12, 10, 15)).toBe(12);
  });

  it("has the exponential in value, slope and inverse", () => {
    const bump = new PolynomialPiece({ lower: 0, upper: 4 }, Float64Array.of(1, 2), undefined, {
      amplitude: 0.5,
      rate: -0.3,
      centre: 1,
    });
    expect(bump.value(3)).toBeCloseTo(7 + 0.5 * Math.exp(-1.2), 14);
    expect(bump.slope(3)).toBeCloseTo(2 - 0.6 * Math.exp(-1.2), 14);
    expect(bump.solve(bump.value(2.5), 1, 0.1, 0, 4)).toBeCloseTo(2.5, 13);
  });
});
