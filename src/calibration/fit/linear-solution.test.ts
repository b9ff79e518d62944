import { describe, expect, it } from "vitest";
import { scaleAndShape, unchanged } from "./linear-solution.ts";

describe("a scale and its shape parameters", () => {
  const parameters = [100, 0.39, -5.8e-5, 4e-7];

  it("are the first coefficient, and the others over it", () => {
    const { coefficients } = scaleAndShape(parameters);
    [100, 3.9e-3, -5.8e-7, 4e-9].forEach((value, index) => expect(coefficients[index]! / value).toBeCloseTo(1, 12));
  });

  it("have the derivatives that small changes show", () => {
    const { jacobian } = scaleAndShape(parameters);
    for (const [column, value] of parameters.entries()) {
      const step = 1e-5 * value;
      const at = (by: number): number[] =>
        scaleAndShape(parameters.map((each, index) => (index === column ? each + by : each))).coefficients;
      const [above, below] = [at(step), at(-step)];
      for (const [row, derivative] of jacobian.map((each) => each[column]!).entries()) {
        const found = (above[row]! - below[row]!) / (2 * step);
        expect(Math.abs(found - derivative)).toBeLessThan(1e-8 * Math.max(Math.abs(derivative), 1e-3));
      }
    }
    // By hand: d(p1/p0)/dp0 = −p1/p0², d(p1/p0)/dp1 = 1/p0.
    expect(jacobian[0]).toEqual([1, 0, 0, 0]);
    expect(jacobian[1]![0]).toBeCloseTo(-0.39 / 1e4, 15);
    expect(jacobian[1]!.slice(1)).toEqual([0.01, 0, 0]);
  });

  it("that are reported as they are have the identity", () => {
    expect(unchanged(3)).toEqual([
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ]);
  });
});
