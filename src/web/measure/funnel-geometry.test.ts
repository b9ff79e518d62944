import { describe, expect, test } from "vitest";
import type { SettlingView } from "#contract";
import {
  bandPath,
  kelvinTicks,
  linePath,
  minuteTicks,
  readySince,
  scalesOf,
  withNow,
  type FunnelSeries,
} from "./funnel-geometry.ts";

const settling: SettlingView = {
  item: "a",
  target: 0.3,
  estimate: 1,
  bound: 0.6,
  ready: false,
  inTheWay: [],
  forecast: { at: 460, from: 440, to: 500 },
};
const view = { opened: "2026-03-02T08:00:00Z", at: 400, started: 100 };
const series: FunnelSeries = {
  times: [100, 200, 300, 400],
  difference: [-20, -3, 0.5, 0.9],
  estimate: [null, -2, 0.8, 1],
  bound: [null, 12, 2, 0.6],
};
const size = { width: 800, height: 300 };

describe("the scales of the funnel", () => {
  const scales = scalesOf(size, view, settling, series);

  test("stand around the present estimate and are the same upwards and downwards", () => {
    const middle = scales.y(1);
    expect(middle).toBeCloseTo((scales.top + scales.bottom) / 2, 9);
    expect(middle - scales.y(1.3)).toBeCloseTo(scales.y(0.7) - middle, 9);
  });

  test("hold the whole of the bound and of the forecast", () => {
    for (const kelvin of [-20, -11, 10, 2.8]) {
      expect(scales.y(kelvin)).toBeGreaterThanOrEqual(scales.top);
      expect(scales.y(kelvin)).toBeLessThanOrEqual(scales.bottom);
    }
    expect(scales.x(500)).toBeLessThan(scales.right);
    expect(scales.x(100)).toBe(scales.left);
  });

  test("give the allowed band a place that can be seen, however large the beginning was", () => {
    expect(scales.y(0.7) - scales.y(1.3)).toBeGreaterThan((scales.bottom - scales.top) / 10);
  });

  test("do not move while the end of the forecast stays within the same length", () => {
    const later = scalesOf(
      size,
      { ...view, at: 402 },
      { ...settling, forecast: { at: 455, from: 440, to: 490 } },
      series,
    );
    expect(later.to).toBe(scales.to);
    expect(later.reach).toBe(scales.reach);
  });

  test("have ticks inside the picture, in even minutes and powers of ten", () => {
    const minutes = minuteTicks(scales);
    expect(minutes[0]).toBe(0);
    expect(scales.x(scales.from + minutes.at(-1)! * 60)).toBeLessThanOrEqual(scales.right + 1e-9);
    const kelvins = kelvinTicks(scales, settling.target);
    expect(kelvins).toContain(0);
    expect(
      kelvins.filter((kelvin) => kelvin !== 0).every((kelvin) => Number.isInteger(Math.log10(Math.abs(kelvin)))),
    ).toBe(true);
  });
});

describe("the lines of the funnel", () => {
  const scales = scalesOf(size, view, settling, series);

  test("leave a gap where a value is missing", () => {
    expect(linePath([0, 1, 2, 3], [1, null, 1, 1], scales).match(/M/g)).toHaveLength(2);
    expect(linePath([0, 1], [null, null], scales)).toBe("");
  });

  test("close the band there and back", () => {
    const path = bandPath(series, scales);
    expect(path.startsWith("M") && path.endsWith("Z")).toBe(true);
    expect(path.match(/L/g)).toHaveLength(5);
    expect(bandPath({ ...series, bound: [null, null, null, 0.6] }, scales)).toBe("");
  });

  test("end with the newest judgement, and only with a newer one", () => {
    expect(withNow(series, 420, 0.95, settling).estimate.at(-1)).toBe(settling.estimate);
    expect(withNow(series, 420, 0.95, settling).times).toHaveLength(5);
    expect(withNow(series, 400, 0.95, settling)).toBe(series);
    expect(withNow(series, 420, 0.95, undefined)).toBe(series);
  });

  test("find since when the bound stays inside", () => {
    expect(readySince({ ...series, bound: [null, 0.2, 0.4, 0.25] }, 0.3)).toBe(400);
    expect(readySince({ ...series, bound: [null, 0.2, 0.2, 0.25] }, 0.3)).toBe(200);
    expect(readySince(series, 0.3)).toBeNull();
  });
});
