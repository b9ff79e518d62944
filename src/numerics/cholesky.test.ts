import { describe, expect, it } from "vitest";
import { choleskyFactor } from "./cholesky.ts";
import { compensatedSum } from "./compensated-sum.ts";
import { polynomialSlope, polynomialValue } from "./polynomial.ts";

const product = (lower: readonly (readonly number[])[]): number[][] =>
  lower.map((row) => lower.map((other) => row.reduce((sum, value, index) => sum + value * other[index]!, 0)));

describe("choleskyFactor", () => {
  it("multiplies back to the matrix", () => {
    const matrix = [
      [4, 2, 0.6],
      [2, 5, -1],
      [0.6, -1, 3],
    ];
    const lower = choleskyFactor(matrix)!;
    product(lower).forEach((row, i) => row.forEach((value, j) => expect(value).toBeCloseTo(matrix[i]![j]!, 14)));
    expect(lower[0]![1]).toBe(0);
  });

  it("allows full correlation", () => {
    expect(
      product(
        choleskyFactor([
          [1, 1],
          [1, 1],
        ])!,
      ),
    ).toEqual([
      [1, 1],
      [1, 1],
    ]);
    expect(
      choleskyFactor([
        [0, 0],
        [0, 2],
      ])![1]![1],
    ).toBe(Math.SQRT2);
  });

  it("judges by the size of the matrix: nothing changes with the unit of its quantities", () => {
    // Row 3 follows from rows 1 and 2 but for rounding; the last off-diagonal pair differs by rounding.
    const matrix = [
      [4, 2, 6],
      [2, 5, 7],
      [6, 7, 13 - 2e-12],
    ];
    const unlike = [
      [1, 0.5],
      [0.5 + 1e-13, 1e-3 + 0.25],
    ];
    for (const unit of [2 ** -60, 1, 2 ** 60]) {
      const scaled = (rows: readonly (readonly number[])[]): number[][] =>
        rows.map((row) => row.map((value) => value * unit));
      const root = Math.sqrt(unit);
      expect(choleskyFactor(scaled(matrix))).toEqual([
        [2 * root, 0, 0],
        [root, 2 * root, 0],
        [3 * root, 2 * root, 0],
      ]);
      expect(choleskyFactor(scaled(unlike))).toBeDefined();
      expect(choleskyFactor(scaled(unlike), 1e-14)).toBeUndefined();
      expect(
        choleskyFactor(
          scaled([
            [1e-9, 1e-9],
            [1e-9, 1],
          ]),
        ),
      ).toBeDefined();
      expect(
        choleskyFactor(
          scaled([
            [1e-20, 1e-5],
            [1e-5, 1],
          ]),
        ),
      ).toBeUndefined();
    }
    expect(
      choleskyFactor([
        [0, 0],
        [0, 0],
      ]),
    ).toEqual([
      [0, 0],
      [0, 0],
    ]);
  });

  it("refuses what is no covariance", () => {
    expect(
      choleskyFactor([
        [1, 2],
        [2, 1],
      ]),
    ).toBeUndefined();
    expect(
      choleskyFactor([
        [1, 0.5],
        [0.4, 1],
      ]),
    ).toBeUndefined();
    expect(choleskyFactor([[NaN]])).toBeUndefined();
    expect(choleskyFactor([[-1]])).toBeUndefined();
    expect(
      choleskyFactor([
        [0, 1],
        [1, 1],
      ]),
    ).toBeUndefined();
    expect(choleskyFactor([[1, 0]])).toBeDefined();
    expect(choleskyFactor([[1], [0, 1]])).toBeUndefined();
    expect(choleskyFactor([[1, 0], [0]])).toBeUndefined();
  });
});

describe("sums and polynomials", () => {
  it("keeps what plain addition loses", () => {
    expect(compensatedSum([1, 1e100, 1, -1e100])).toBe(2);
    expect(compensatedSum(Float64Array.from({ length: 10 }, () => 0.1))).toBe(1);
    expect(compensatedSum([])).toBe(0);
  });

  it("evaluates a polynomial and its derivative", () => {
    expect(polynomialValue([1, -2, 3], 2)).toBe(9);
    expect(polynomialSlope([1, -2, 3], 2)).toBe(10);
    expect(polynomialValue([], 5)).toBe(0);
    expect(polynomialSlope([4], 5)).toBe(0);
  });
});
