import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { chartLimits, controlChart, fewestForLimits, signalsOf } from "./chart.ts";

describe("limits of the chart", () => {
  it("[K20] agrees with the worked example of the NIST/SEMATECH e-Handbook, 6.3.2.2 (figures from memory)", () => {
    // Ten batches; moving ranges 2.0 2.3 1.4 3.5 3.4 1.4 0.2 1.2 1.5, their mean 1.8778; 50.81 ± 3 · 1.8778/1.128.
    const limits = chartLimits([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])!;
    expect(limits.centre).toBeCloseTo(50.81, 10);
    expect(limits.movingRange.mean).toBeCloseTo(1.8778, 4);
    expect(limits.action[1]).toBeCloseTo(55.8041, 3);
    expect(limits.action[0]).toBeCloseTo(45.8159, 3);
  });

  it("[K20] makes none from fewer than eight checks, and none from more than the first twenty", () => {
    expect(chartLimits(Array.from({ length: fewestForLimits - 1 }, (_, index) => index % 2))).toBeNull();
    const long = [...Array.from({ length: 20 }, (_, index) => index % 2), 50, 60, 70];
    expect(chartLimits(long)).toMatchObject({ centre: 0.5, from: 20 });
  });

  it("[K20] the latest check has no part in the limits that it is judged by", () => {
    const values = [...Array.from({ length: 10 }, (_, index) => (index % 2) * 0.001), 0.05].map((value, index) => ({
      at: `2026-0${1 + Math.floor(index / 4)}-1${index % 4}T08:00:00Z`,
      value,
      u: 0.001,
    }));
    const chart = controlChart(values);
    expect(chart.limits!.from).toBe(10);
    expect(chart.points.at(-1)!.signals).toContain("beyond-action");
    expect(chart.points.at(-1)!.signals).toContain("moving-range");
    expect(chart.points[0]!.movingRange).toBeNull();
  });

  it("[K20] quiet checks of a steady reference stay within three s in nearly all cases", () => {
    let beyond = 0;
    let all = 0;
    for (let seed = 1; seed <= 60; seed += 1) {
      const generator = seededGenerator(seed);
      const values = Array.from({ length: 21 }, (_, index) => ({
        at: `2026-01-${String(index + 1).padStart(2, "0")}T08:00:00Z`,
        value: 0.002 * generator.normal(),
        u: 0.001,
      }));
      all += 1;
      if (controlChart(values).points.at(-1)!.signals.includes("beyond-action")) beyond += 1;
    }
    expect(beyond / all).toBeLessThan(0.05);
  });
});

describe("runs rules, each with the sequence that shows it and one that just does not", () => {
  it.each([
    ["beyond-action", [3.01], [3]],
    ["beyond-warning", [2.01], [2]],
    ["two-of-three-beyond-warning", [2.1, 0, 2.1], [2.1, 0, 0, 2.1]],
    ["two-of-three-beyond-warning", [0, -2.1, -2.1], [2.1, 0, -2.1]],
    ["four-of-five-beyond-one-s", [1.1, 1.1, 0, 1.1, 1.1], [1.1, 1.1, 0, 0, 1.1]],
    ["eight-on-one-side", [0.1, 0.2, 0.1, 0.3, 0.1, 0.2, 0.1, 0.2], [0.1, 0.2, 0.1, -0.3, 0.1, 0.2, 0.1, 0.2]],
    ["six-in-a-row", [-0.3, -0.2, -0.1, 0, 0.1, 0.2], [-0.3, -0.2, -0.1, -0.15, 0.1, 0.2]],
    ["six-in-a-row", [0.3, 0.2, 0.1, 0, -0.1, -0.2], [0.2, 0.1, 0, -0.1, -0.2]],
  ] as const)("[K21] %s", (signal, shows, not) => {
    expect(signalsOf(shows)).toContain(signal);
    expect(signalsOf(not)).not.toContain(signal);
  });
});
