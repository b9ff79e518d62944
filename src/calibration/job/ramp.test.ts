import { describe, expect, it } from "vitest";
import { rampSchema, sweepSchema } from "./ramp.ts";

describe("the ramps of a switch", () => {
  it("have their defaults written out", () => {
    expect(rampSchema.parse({})).toEqual({
      rate: 0.3,
      cycles: 3,
      soak: 120,
      hold: 10,
      lagWithin: 60,
      step: 0.05,
      by: "steps",
    });
  });

  it.each([
    [{ rate: 5, cycles: 20, step: 1, soak: 0, hold: 0, lagWithin: 0, by: "source" }],
    [{ rate: 0.4, slowRate: 0.3, cycles: 2 }],
    [{ before: 0.1, beyond: 0.1, cycles: 1 }],
  ])("may be %j", (ramp) => expect(rampSchema.parse(ramp)).toMatchObject(ramp));

  it.each([
    ["rate", { rate: 0 }],
    ["rate", { rate: 5.1 }],
    ["slowRate", { rate: 0.5, slowRate: 0 }],
    // 0.75 times the rate or less.
    ["slowRate", { rate: 0.4, slowRate: 0.3001 }],
    ["cycles", { rate: 0.4, slowRate: 0.2, cycles: 1 }],
    ["cycles", { cycles: 0 }],
    ["cycles", { cycles: 21 }],
    ["cycles", { cycles: 2.5 }],
    ["before", { before: 0 }],
    ["beyond", { beyond: 0 }],
    ["soak", { soak: -1 }],
    ["hold", { hold: -1 }],
    ["lagWithin", { lagWithin: -1 }],
    ["step", { step: 0 }],
    ["step", { step: 1.1 }],
    ["by", { by: "hand" }],
    ["", { fast: true }],
  ])("are refused at %s: %j", (path, ramp) =>
    expect(rampSchema.safeParse(ramp).error?.issues[0]?.path.join(".")).toBe(path),
  );

  it("are made of sweeps with a beginning, a rate and a cycle", () => {
    const sweep = { from: 87, rate: 0.3, cycle: 1 };
    expect(sweepSchema.parse(sweep)).toEqual(sweep);
    for (const wrong of [{ ...sweep, rate: 0 }, { ...sweep, cycle: 0 }, { ...sweep, cycle: 1.5 }, { from: 87 }])
      expect(sweepSchema.safeParse(wrong).success).toBe(false);
  });
});
