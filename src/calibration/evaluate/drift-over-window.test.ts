import { describe, expect, it } from "vitest";
import { driftOverWindow } from "./drift-over-window.ts";

const drift = (times: readonly number[], values: readonly number[]): number =>
  driftOverWindow(Float64Array.from(times), Float64Array.from(values));

describe("how far a series moved over its own length", () => {
  it("is the whole of a straight line, whatever its sign and where it begins", () => {
    expect(drift([0, 1, 2, 3], [5, 5.5, 6, 6.5])).toBeCloseTo(1.5, 12);
    expect(drift([100, 101, 102, 103], [5, 4.5, 4, 3.5])).toBeCloseTo(1.5, 12);
    // Readings that are not equally far apart.
    expect(drift([0, 1, 4], [0, 0.1, 0.4])).toBeCloseTo(0.4, 12);
    expect(drift([3, 5, 8], [7, 7, 7])).toBe(0);
  });

  it("has twice the standard uncertainty of the slope on top (JCGM 100:2008, H.3)", () => {
    // t = 0, 1, 2, 3 and y = 0, 1, 0, 1: b = 0.2, residuals −0.2, 0.6, −0.6, 0.2, sum of squares 0.8, s² = 0.4, Σ(t − t̄)² = 5.
    expect(drift([0, 1, 2, 3], [0, 1, 0, 1])).toBeCloseTo((0.2 + 2 * Math.sqrt(0.4 / 5)) * 3, 12);
    // The slope alone is nothing: y = 1, 0, 0, 1, s² = 0.5.
    expect(drift([0, 1, 2, 3], [1, 0, 0, 1])).toBeCloseTo(2 * Math.sqrt(0.5 / 5) * 3, 12);
  });

  it("of two readings, which show no scatter, is three times what they differ", () => {
    expect(drift([0, 10], [0, 0.2])).toBeCloseTo(0.6, 12);
    expect(drift([0, 10], [0.2, 0])).toBeCloseTo(0.6, 12);
  });

  it("is nothing where all are of one moment", () => {
    expect(drift([4, 4, 4], [0, 1, 2])).toBe(0);
  });
});
