import { describe, expect, it } from "vitest";
import { calendarDay } from "#calibration";
import { seededGenerator } from "#numerics";
import { monthsAfter } from "./calendar.ts";
import { driftAt, expectedAfter } from "./drift-at.ts";
import type { EarlierCalibration } from "./history.ts";
import { proposeInterval } from "./propose-interval.ts";
import { clopperPearson, scaledInterval } from "./reliability.ts";

const limits = { lower: -0.5, upper: 0.5 };

const calibration = (
  day: string,
  found: number,
  { left, u = 0.02, tolerance = limits }: { left?: number; u?: number; tolerance?: typeof limits | null } = {},
): EarlierCalibration => ({
  day,
  run: `run-${day}`,
  points: [
    {
      nominal: 100,
      asFound: { error: found, u, decision: null },
      asLeft: left === undefined ? null : { error: left, u, decision: null },
      limits: tolerance,
    },
  ],
});

describe("dates", () => {
  it.each([
    ["2026-01-31", 1, "2026-02-28"],
    ["2028-01-31", 1, "2028-02-29"],
    ["2026-11-25", 14, "2028-01-25"],
    ["2026-12-31", 12, "2027-12-31"],
    ["2026-03-31", 0, "2026-03-31"],
  ])("%s and %i months is %s", (day, months, after) => {
    expect(monthsAfter(day, months)).toBe(after);
  });
});

describe("the share that was found good", () => {
  // Tables of exact binomial limits, 95 %, as they stand in statistics handbooks; recomputed with SciPy's beta.ppf, from memory.
  it.each([
    [17, 20, 0.621, 0.968],
    [19, 20, 0.751, 0.999],
    [48, 50, 0.863, 0.995],
    [10, 10, 0.692, 1],
    [0, 10, 0, 0.308],
  ])("[I6] %i of %i lies in %f to %f", (good, of, low, high) => {
    const [lower, upper] = clopperPearson(good, of, 0.95);
    expect(lower).toBeCloseTo(low, 3);
    expect(upper).toBeCloseTo(high, 3);
  });

  it("[I6] covers in 95 % of cases or more, for any share", () => {
    for (const [n, p] of [
      [5, 0.9],
      [12, 0.5],
      [30, 0.97],
    ] as const) {
      const choose = (k: number): number =>
        Array.from({ length: k }, (_, i) => (n - i) / (i + 1)).reduce((a, b) => a * b, 1);
      let covered = 0;
      for (let good = 0; good <= n; good += 1) {
        const [lower, upper] = clopperPearson(good, n, 0.95);
        if (lower <= p && p <= upper) covered += choose(good) * p ** good * (1 - p) ** (n - good);
      }
      expect(covered).toBeGreaterThanOrEqual(0.95);
    }
  });

  // Common practice, no source: 12 months with a target of 95 %.
  it.each([
    [0.85, 3.8],
    [0.98, 30.5],
  ])("[I6] %f found good scales 12 months to %f", (found, months) => {
    expect(scaledInterval(12, found, 0.95)).toBeCloseTo(months, 1);
  });
});

describe("a drift", () => {
  it("[I2] is the slope through errors as found, what was adjusted taken out", () => {
    // +0.1 K a year; adjusted to 0 after the first and by −0.05 K after the second.
    const drift = driftAt(
      [
        calibration("2023-01-01", 0.3, { left: 0 }),
        calibration("2024-01-01", 0.1, { left: 0.05 }),
        calibration("2025-01-01", 0.15, {}),
      ],
      100,
    )!;
    expect(drift.perYear).toBeCloseTo(0.1, 3);
    expect(drift).toMatchObject({ calibrations: 3, left: { error: 0.15, u: 0.02 }, lastDay: "2025-01-01" });
  });

  it("[I3] of two calibrations is as uncertain as they are", () => {
    const drift = driftAt([calibration("2024-01-01", 0), calibration("2026-01-01", 0.1)], 100)!;
    expect(drift.perYear).toBeCloseTo(0.05, 4);
    // Two years apart: √2·u/2 years, k = 2 (95.45 %).
    expect(drift.U).toBeCloseTo((2 * Math.SQRT2 * 0.02) / (731 / 365.2425), 3);
  });

  it("[I3] is not surer because a few points lie on a line", () => {
    const years = ["2023-01-01", "2024-01-01", "2025-01-01"];
    const straight = driftAt(
      years.map((day, year) => calibration(day, 0.1 * year)),
      100,
    )!;
    expect(straight.U).toBeGreaterThan(0.02);
    const scattered = driftAt(
      [0, 0.4, 0.1].map((error, year) => calibration(years[year]!, error)),
      100,
    )!;
    expect(scattered.degreesOfFreedom).toBe(1);
    expect(scattered.U).toBeGreaterThan(5 * straight.U);
  });

  it("[I3] lies within its U in 95 % of invented histories", () => {
    const chance = seededGenerator(7);
    let inside = 0;
    const histories = 2000;
    for (let turn = 0; turn < histories; turn += 1) {
      const true_ = 0.2 * chance.normal();
      const days = ["2021-01-01", "2022-02-01", "2023-01-15", "2024-03-01", "2025-01-01"];
      const drift = driftAt(
        days.map((day) =>
          calibration(day, (true_ * (calendarDay(day) - calendarDay(days[0]!))) / 365.2425 + 0.05 * chance.normal(), {
            u: 0.05,
          }),
        ),
        100,
      )!;
      if (Math.abs(drift.perYear - true_) <= drift.U) inside += 1;
    }
    expect(inside / histories).toBeGreaterThan(0.945);
  });

  it("is none where a point was calibrated once, or twice on one day", () => {
    expect(driftAt([calibration("2024-01-01", 0)], 100)).toBeNull();
    expect(driftAt([calibration("2024-01-01", 0), calibration("2024-01-01", 1)], 100)).toBeNull();
    expect(driftAt([calibration("2024-01-01", 0), calibration("2025-01-01", 1)], 50)).toBeNull();
    expect(driftAt([], 100)).toBeNull();
  });
});

describe("the next interval", () => {
  const yearly = (errors: readonly number[], options = {}): EarlierCalibration[] =>
    errors.map((error, year) => calibration(`${2020 + year}-06-01`, error, options));
  const months = (calibrations: readonly EarlierCalibration[], method: string, settings = {}) =>
    proposeInterval(calibrations, { inUse: 12, ...settings }).methods.find((each) => each.method === method)!.months;

  // Common practice (staircase with a reliability target): a = 0.10; R = 0.90 gives b = 0.576, R = 0.95 gives b = 0.836.
  it.each([
    [0.39, 0.9, 12 * 1.1],
    [0.45, 0.9, 12],
    [0.51, 0.9, 12 * (1 - 0.576)],
    [-0.51, 0.95, 12 * (1 - 0.836)],
  ])("[I5] after an error of %f of ±0.5 K, target %f: %f months", (error, target, expected) => {
    expect(months(yearly([0, error]), "staircase", { target })).toBeCloseTo(expected, 1);
  });

  it("[I4] is due when drift and doubt may reach the limit", () => {
    // 0.1 K a year, known to be small against the limit: from 0.2 K to 0.5 K is three years less the doubt.
    const calibrations = yearly([0, 0.1, 0.2], { u: 1e-6 });
    expect(months(calibrations, "drift")).toBeCloseTo(36, 0);
    expect(months(yearly([0, 0.1, 0.2], { u: 0.02 }), "drift")).toBeLessThan(36);
    // Downwards it is the lower limit.
    expect(months(yearly([0, -0.1, -0.2], { u: 1e-6 }), "drift")).toBeCloseTo(36, 0);
    expect(months(yearly([0.6, 0.6]), "drift")).toBe(0);
  });

  it("[I4] begins with what the last calibration left, and is surer of it than of what comes", () => {
    const drift = driftAt(yearly([0, 0.1, 0.2], { u: 0.02 }), 100)!;
    expect(expectedAfter(drift, 0)).toMatchObject({ error: 0.2 });
    expect(expectedAfter(drift, 0).U).toBeCloseTo(0.04, 2);
    expect(expectedAfter(drift, 2).error).toBeCloseTo(0.4, 3);
    // Two years of a drift that is known to 0.02/√2 K a year (years −1, 0, 1).
    expect(expectedAfter(drift, 2).U).toBeCloseTo(2 * Math.hypot(0.02, (2 * 0.02) / Math.SQRT2), 3);
  });

  it("[I6] few good ones change nothing, many do", () => {
    expect(months(yearly([0, 0, 0]), "reliability")).toBe(12);
    expect(months(yearly(Array.from({ length: 40 }, () => 0)), "reliability")).toBeGreaterThan(12);
    expect(months(yearly([0.6, 0.6, 0.6]), "reliability", { target: 0.95 })).toBeLessThan(12);
  });

  it("[I1] is the shortest answer, whole months, at most doubled or halved", () => {
    const good = proposeInterval(yearly([0, 0.01, 0]));
    expect(good).toMatchObject({ months: 12, due: "2023-06-01" });
    expect(good.inUse).toBeCloseTo(12, 1);
    const bad = proposeInterval(yearly([0, 0.6]), { inUse: 12 });
    expect(bad).toMatchObject({ months: 6, due: "2021-12-01" });
    expect(bad.reason).toMatch(/halved/);
    expect(proposeInterval(yearly([0, 0.001], { u: 1e-4 }), { inUse: 200 }).months).toBeLessThanOrEqual(120);
  });

  it("[I7] is not proposed without a second calibration, an agreed interval, or a tolerance", () => {
    expect(proposeInterval([])).toMatchObject({ months: null, due: null });
    expect(proposeInterval(yearly([0]))).toMatchObject({ months: null, reason: expect.stringContaining("once") });
    expect(proposeInterval(yearly([0]), { inUse: 12 }).months).toBe(12);
    expect(proposeInterval(yearly([0, 0], { tolerance: null }))).toMatchObject({
      months: null,
      reason: "There is no tolerance to go by.",
    });
  });
});
