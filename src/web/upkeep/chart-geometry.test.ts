import { describe, expect, it } from "vitest";
import type { ControlChart } from "#contract";
import { chartScales, evenStep, limitLines, spread } from "./chart-geometry.ts";

const chart: ControlChart = {
  points: [
    { at: "2026-01-01T08:00:00Z", value: 0.001, u: 0.001, movingRange: null, signals: [] },
    { at: "2026-03-01T08:00:00Z", value: -0.002, u: 0.001, movingRange: 0.003, signals: [] },
  ],
  limits: {
    centre: 0,
    s: 0.002,
    warning: [-0.004, 0.004],
    action: [-0.006, 0.006],
    movingRange: { mean: 0.002, limit: 0.0065 },
    from: 9,
  },
};

describe("the control chart's drawing", () => {
  it("has a line for each limit and for what the budget allows, and none that there is no figure for", () => {
    expect(limitLines(chart, [-0.02, 0.02]).map(({ kind }) => kind)).toEqual([
      "centre",
      "warning",
      "warning",
      "action",
      "action",
      "allowance",
      "allowance",
    ]);
    expect(limitLines({ ...chart, limits: null }, null)).toEqual([]);
  });

  it("has room for every value with its interval and every line", () => {
    const lines = limitLines(chart, [-0.02, 0.02]);
    const scales = chartScales(chart, lines, { width: 800, height: 300 });
    for (const value of [...lines.map((line) => line.value), 0.003, -0.004]) {
      expect(scales.y(value)).toBeGreaterThanOrEqual(scales.top);
      expect(scales.y(value)).toBeLessThanOrEqual(scales.bottom);
    }
    expect(scales.x("2026-01-01T08:00:00Z")).toBeLessThan(scales.x("2026-03-01T08:00:00Z"));
    expect(scales.ticks).toContain(0);
  });

  it("puts a single check into the middle", () => {
    const one = { ...chart, points: chart.points.slice(0, 1) };
    const scales = chartScales(one, [], { width: 800, height: 300 });
    expect(scales.x(one.points[0]!.at)).toBe((scales.left + scales.right) / 2);
  });

  it("steps by 1, 2 and 5, and keeps labels apart", () => {
    expect([evenStep(1), evenStep(0.024), evenStep(4)]).toEqual([0.2, 0.005, 1]);
    expect(spread([10, 12, 40], 14)).toEqual([10, 24, 40]);
    expect(spread([12, 10], 14)).toEqual([24, 10]);
  });
});
