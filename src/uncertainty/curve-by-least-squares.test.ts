import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { leastSquares } from "#numerics";
import thermometer from "../../test/fixtures/uncertainty/gum-h3.json" with { type: "json" };
import { combine } from "./combine.ts";

describe("JCGM 100:2008, H.3: correction of a thermometer by a straight line", () => {
  const fit = leastSquares({
    design: thermometer.t_k_C.map((t) => [1, t - thermometer.t_0_C]),
    observations: thermometer.b_k_C,
  });
  if (!fit.ok) throw new Error(fit.reason);
  const [intercept, slope] = fit.coefficients as [number, number];
  const [u1, u2] = fit.standardErrors as [number, number];
  const r = fit.covariance[0]![1]! / (u1 * u2);
  const { published } = thermometer;

  it("has the published coefficients, uncertainties and correlation", () => {
    expect(intercept.toFixed(4)).toBe(published.y1_C.toFixed(4));
    expect(u1.toFixed(4)).toBe(published.u_y1_C.toFixed(4));
    expect(slope.toFixed(5)).toBe(published.y2.toFixed(5));
    expect(u2.toFixed(5)).toBe(published.u_y2.toFixed(5));
    expect(r.toFixed(2)).toBe(published.r.toFixed(2));
    expect(fit.residualStandardDeviation.toFixed(4)).toBe(published.s_C.toFixed(4));
    expect(fit.degreesOfFreedom).toBe(published.dof);
  });

  it("predicts the correction at 30 °C with the correlation of its coefficients [U1, U3]", () => {
    const at30 = unwrap(
      combine({
        lines: [
          { name: "intercept", value: intercept, u: u1, dof: fit.degreesOfFreedom },
          { name: "slope", value: slope, u: u2, dof: fit.degreesOfFreedom, sensitivity: 10 },
        ],
        correlations: [{ a: "intercept", b: "slope", r }],
      }),
    );
    expect(at30.value.toFixed(4)).toBe(published.b_30_C.toFixed(4));
    expect(at30.u.toFixed(4)).toBe(published.u_b_30_C.toFixed(4));
    // Both come from one fit, so the prediction has its nine degrees of freedom, neither more nor less.
    expect(at30.dof).toBeCloseTo(published.dof, 9);
  });
});
