import { describe, expect, it } from "vitest";
import type { PointResult, ResultBudgetLine } from "../result/result.ts";
import { rampJob, type RampJobChange } from "../switch/ramp-log.test-support.ts";
import { forecast, type ForecastPoint } from "./forecast.ts";

const options = { day: "2026-07-12", target: () => 0.1 };

const pointsOf = (change: RampJobChange = {}): readonly ForecastPoint[] =>
  forecast(rampJob(change), options).items[0]!.points;

const lineOf = (result: PointResult, id: string): ResultBudgetLine => {
  if (result.status !== "measured") throw new Error(JSON.stringify(result));
  return result.budget.lines.find((line) => line.id === id)!;
};

describe("what a job with switches will be able to say", () => {
  it("is a point for the trip, where only the dead band is agreed besides", () => {
    const points = pointsOf();
    expect(points).toHaveLength(1);
    const [trip] = points;
    expect(trip).toMatchObject({ point: 0, temperature: 90, tolerance: { lower: -1, upper: 1 }, note: null });
    expect(trip!.result).toMatchObject({
      status: "measured",
      nominal: 90,
      readings: 3,
      effectiveReadings: 3,
      window: { from: 0, to: 0 },
      conformity: { tolerance: { lower: -1, upper: 1 } },
      conformityNote: null,
    });
  });

  it("has the uncertainty of the kit and of the ramp, worked by hand", () => {
    const [trip] = pointsOf();
    // Kit at 90 °C on the 181st day: 134.725 Ω (Callendar-Van Dusen of the reference) at 0.3805 Ω/K; axial 0.03 K + 90/400·0.12 K.
    const half = [
      (0.04 * 181) / 365.2425,
      0.005,
      0.004,
      (3e-5 * 134.725 + 0.001) / 0.3805,
      0.00005 / 0.3805,
      0.057,
      0.02,
      0.01,
      // ±1 s between two readings and ±60 s of unknown lag, at 0.5 K/min.
      0.5 / 60,
      0.5,
    ];
    const known = 0.015 ** 2 + half.reduce((sum, value) => sum + value ** 2, 0) / 3;
    const repeatability = lineOf(trip!.result, "switch.repeatability");
    expect(repeatability.degreesOfFreedom).toBe(2);
    if (trip!.result.status !== "measured") throw new Error("not measured");
    const { budget, error, reference, indication, signal, referenceSignal, reported } = trip!.result;
    expect(budget.u ** 2 / (known + repeatability.u ** 2)).toBeCloseTo(1, 3);
    // Switches scatter by 0.03 K: of three changes 0.03/√3 K, give or take.
    expect(repeatability.u).toBeGreaterThan(0.002);
    expect(repeatability.u).toBeLessThan(0.05);
    expect(trip!.expectedU).toBe(budget.U);
    expect(budget.U / budget.u).toBeCloseTo(2, 1);
    expect(trip!.ratio).toBeCloseTo(1 / budget.U, 12);
    expect(trip!.dominant).toHaveLength(3);
    expect(trip!.dominant[0]).toMatchObject({ name: "Switch, what the ramp leaves" });
    expect(trip!.dominant[0]!.share).toBeCloseTo(0.25 / 3 / (known + repeatability.u ** 2), 3);
    // It acts where it should, so its deviation is its scatter.
    expect(Math.abs(error.value)).toBeLessThan(0.1);
    expect(reference.value).toBeCloseTo(90 + error.value, 9);
    for (const figure of [indication, signal, referenceSignal]) expect(figure).toEqual(reference);
    expect(Number(reported.reference)).toBeCloseTo(reference.value, 1);
    expect(reported.indication).toBe(reported.reference);
    expect(Number(reported.error)).toBeCloseTo(error.value, 1);
    expect(Number(reported.U) / budget.U).toBeCloseTo(1, 1);
    expect(reported.k).toBe(budget.k.toFixed(2));
  });

  it("is a point for the reset, too, where that is agreed as a temperature", () => {
    const reset = { temperature: 87, kelvin: 0.4 };
    const points = pointsOf({ sensor: { deadBand: undefined, reset } });
    expect(points.map(({ point, temperature }) => [point, temperature])).toEqual([
      [0, 90],
      [1, 87],
    ]);
    expect(points[1]!.result).toMatchObject({ nominal: 87, conformity: { tolerance: { lower: -0.4, upper: 0.4 } } });
    // A low alarm goes down first: its trip is the first ramp, the reset above it the second.
    const low = pointsOf({
      sensor: { tripsOn: "falling", deadBand: undefined, reset: { temperature: 93, kelvin: 0.4 } },
    });
    expect(low.map(({ point, temperature }) => [point, temperature])).toEqual([
      [1, 93],
      [0, 90],
    ]);
  });

  it("gives the reason where a change will have no uncertainty or no temperature", () => {
    const [once] = pointsOf({ ramp: { cycles: 1 } });
    expect(once).toMatchObject({ point: 0, temperature: 90, expectedU: null, ratio: null, dominant: [] });
    expect(once!.note).toMatch(/Only one change was measured.*Repeat the ramp/);
    expect(once!.result).toMatchObject({ status: "flagged", code: "uncertainty.invalid", nominal: 90 });
    const [beyond] = pointsOf({ sensor: { trip: 900 } });
    expect(beyond).toMatchObject({ point: 0, temperature: 900, expectedU: null });
    expect(beyond!.result).toMatchObject({ status: "not-measured", nominal: 900 });
    expect(beyond!.note).toMatch(/no signal on the whole of the ramp rising past 900 °C/);
  });
});
