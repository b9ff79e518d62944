import { describe, expect, test } from "vitest";
import type { ItemResult, MeasuredPoint } from "#contract";
import { dotsOf, edgesAlong, evenTicks, scalesOf } from "./picture-geometry.ts";

const point = (index: number, nominal: number, error: number, U: number, accept: number | null): MeasuredPoint =>
  ({
    status: "measured",
    point: index,
    nominal,
    error: { value: error, unit: "K", origin: [] },
    budget: { U },
    conformity: {
      tolerance: { lower: -1, upper: 1 },
      acceptance: accept === null ? null : { lower: -accept, upper: accept },
    },
  }) as unknown as MeasuredPoint;

const item: ItemResult = {
  item: "a",
  tag: "A",
  adjustment: null,
  passes: [
    {
      pass: "as-found",
      decision: "fail",
      points: [
        point(0, 100, 1.4, 0.3, 0.7),
        { status: "skipped", point: 1, nominal: 50, reason: "no time", origin: [] },
      ],
    },
    { pass: "as-left", decision: "pass", points: [point(0, 100, 0.1, 0.2, 0.8), point(1, 50, 0.2, 0.2, 0.8)] },
  ],
};

describe("the picture of the errors", () => {
  const dots = dotsOf(item);

  test("has a dot for each measured point and none for a skipped one", () => {
    expect(dots).toHaveLength(3);
  });

  test("moves two passes at one temperature apart", () => {
    const shifts = dots.filter((dot) => dot.point.nominal === 100).map((dot) => dot.shift);
    expect(new Set(shifts).size).toBe(2);
  });

  test("holds every interval and every limit", () => {
    const scales = scalesOf(dots, 600, 300);
    for (const kelvin of [1.7, -1, 1, 0.1]) {
      expect(scales.y(kelvin)).toBeGreaterThanOrEqual(scales.top);
      expect(scales.y(kelvin)).toBeLessThanOrEqual(scales.bottom);
    }
    expect(scales.x(50)).toBeGreaterThan(scales.left);
    expect(scales.x(100)).toBeLessThan(scales.right);
  });

  test("never shows more acceptance than the narrower pass allows", () => {
    const edges = edgesAlong(dots);
    expect(edges.map(({ at }) => at)).toEqual([50, 100]);
    expect(edges[1]?.acceptance).toEqual({ lower: -0.7, upper: 0.7 });
  });

  test("hatches all of the tolerance where nothing can be accepted", () => {
    const lone: ItemResult = {
      ...item,
      passes: [{ pass: "as-found", decision: "undecided", points: [point(0, 100, 0, 2, null)] }],
    };
    expect(edgesAlong(dotsOf(lone))[0]?.acceptance).toBeNull();
  });

  test.each([
    [1.7, 1, 0],
    [0.9, 0.5, 1],
    [0.08, 0.05, 2],
    [26, 10, 0],
  ])("has even ticks for a reach of %d K", (reach, step, places) => {
    const ticks = evenTicks(reach);
    expect(ticks.values.at(-1)! - ticks.values.at(-2)!).toBeCloseTo(step, 9);
    expect(ticks.places).toBe(places);
  });
});
