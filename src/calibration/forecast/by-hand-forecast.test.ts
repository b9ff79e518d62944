import { describe, expect, it } from "vitest";
import { inventedJob, resistor } from "../evaluate/invented-run.test-support.ts";
import { forecast } from "./forecast.ts";

const dial = {
  ...resistor,
  sensor: { kind: "indication" as const },
  unit: "°C" as const,
  tolerance: { kelvin: 2 },
};
const wired = { instrument: "readout", input: 1, unit: "Ω" as const };
const foreseen = (readingsByHand?: { count: number; interval: number }, resolution = 0.5) => {
  const base = inventedJob();
  const job = inventedJob({
    items: [dial],
    bench: { ...base.bench, channels: { reference: wired, "item-1": { typed: true, unit: "°C", resolution } } },
    procedure: { ...base.procedure, ...(readingsByHand === undefined ? {} : { readingsByHand }) },
  });
  const { result } = forecast(job, { day: "2026-07-12", target: () => 0.4 }).items[0]!.points[0]!;
  if (result.status !== "measured") throw new Error(result.reason);
  return { U: result.budget.U, readings: result.readings };
};

describe("what a job that is read by hand will be able to say", () => {
  it("follows the readings that a person will type: as many as planned, and a coarser step is worth less", () => {
    expect(foreseen().readings).toBe(6);
    expect(foreseen({ count: 4, interval: 60 }).readings).toBe(4);
    // 0.5/√12 of the step, 0.8 · 0.4/√3 of settling, at k = 2 or a little more.
    expect(foreseen().U).toBeGreaterThan(2 * Math.hypot(0.5 / Math.sqrt(12), 0.32 / Math.sqrt(3)));
    expect(foreseen().U).toBeLessThan(1);
    expect(foreseen(undefined, 0.1).U).toBeLessThan(0.8 * foreseen().U);
  });
});
