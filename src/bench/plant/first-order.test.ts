import { describe, expect, it } from "vitest";
import { firstOrder, followFirstOrder } from "./first-order.ts";

describe("a first-order lag", () => {
  it.each([0.25, 1, 60])("answers a step with 1 − e^(−t/τ), whatever the step of %s s", (step) => {
    const lag = firstOrder(20, step);
    let output = 0;
    for (let time = step; time <= 120; time += step) {
      output = followFirstOrder(lag, output, 1, 1);
      expect(output).toBeCloseTo(1 - Math.exp(-time / 20), 12);
    }
  });

  it("follows a ramp τ behind, after the transient: u − τ·s·(1 − e^(−t/τ))", () => {
    const slope = 0.3;
    const lag = firstOrder(35, 0.25);
    let output = 0;
    for (let tick = 1; tick <= 4000; tick += 1) {
      const time = tick * 0.25;
      output = followFirstOrder(lag, output, slope * (time - 0.25), slope * time);
      expect(output).toBeCloseTo(slope * time - 35 * slope * (1 - Math.exp(-time / 35)), 9);
    }
    // The trade's rule: what is still missing is the slope times the time constant.
    expect(slope * 1000 - output).toBeCloseTo(slope * 35, 6);
  });

  it("without time constant is the input itself", () => {
    expect(followFirstOrder(firstOrder(0, 0.25), 5, 7, 9)).toBe(9);
  });
});
