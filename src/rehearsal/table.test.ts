import { describe, expect, it } from "vitest";
import { pointOutcome } from "./point-outcome.test-support.ts";
import { cellTable, figuresOf } from "./table.ts";

describe("figures of points", () => {
  it("counts the true error inside the stated interval, its end included", () => {
    const figures = figuresOf([
      pointOutcome({ error: 0.25, truth: 0.2, U: 0.05 }),
      pointOutcome({ error: 0.25, truth: 0.15, U: 0.05 }),
      pointOutcome({ error: -0.25, truth: -0.2, U: 0.1 }),
      pointOutcome({ error: 0, truth: 0.2, U: 0.1 }),
    ]);
    expect(figures.coverage).toBe(0.5);
    expect(figures.statedU).toBeCloseTo(0.075, 12);
  });

  it("counts points of one run as one draw", () => {
    const hit = { error: 0, truth: 0, U: 1 };
    const miss = { error: 0, truth: 2, U: 1 };
    const apart = [pointOutcome({ seed: 1, ...hit }), pointOutcome({ seed: 2, ...miss })];
    const together = [pointOutcome({ seed: 1, ...hit }), pointOutcome({ seed: 1, ...miss })];
    // Two draws that differ: √(0.25 + 0.25)/2. One run that holds both: it hits the mean exactly.
    expect(figuresOf(apart).coverageStandardError).toBeCloseTo(Math.SQRT1_2 / 2, 12);
    expect(figuresOf(together).coverageStandardError).toBeCloseTo(0, 12);
  });

  it("measures beyond the target from what the mean would be with nothing missing, not from the true error", () => {
    const figures = figuresOf([
      pointOutcome({ error: 0.31, steady: 0.22, truth: -5, target: 0.1 }),
      pointOutcome({ error: 0.33, steady: 0.22, truth: 0.33, target: 0.1 }),
    ]);
    expect(figures.beyondTarget).toBe(0.5);
  });

  it("a point whose twin gave no number is beyond the target, never silently within it", () => {
    expect(figuresOf([pointOutcome({ steady: Number.NaN })]).beyondTarget).toBe(1);
  });

  it("takes ratios as medians over points, and leaves out of them what never came to rest", () => {
    const figures = figuresOf([
      pointOutcome({ wait: 600, oracle: 400 }),
      pointOutcome({ wait: 900, oracle: 300 }),
      pointOutcome({ wait: 7200, oracle: null, foresight: null, soaks: {} }),
    ]);
    expect(figures.timeToOracle).toBeCloseTo(2.25, 12);
    expect(figures.minutes.median).toBe(15);
    expect(figures.timeToSoak20).toBeCloseTo((600 / 1500 + 900 / 1500) / 2, 12);
    expect(figures.points).toBe(3);
  });

  it("says by what factor U is larger than 95 % need, points with a large and a small U alike", () => {
    const points = Array.from({ length: 101 }, (_, index) =>
      pointOutcome({ U: index % 2 === 0 ? 1 : 10, error: (index / 200) * (index % 2 === 0 ? 1 : 10), truth: 0 }),
    );
    expect(figuresOf(points).uToError).toBeCloseTo(1 / 0.475, 6);
  });

  it("tells false accepts from false rejects by the true error", () => {
    const figures = figuresOf([
      pointOutcome({ truth: 0.6, decision: "pass" }),
      pointOutcome({ truth: 0.6, decision: "fail" }),
      pointOutcome({ truth: 0.4, decision: "fail" }),
      pointOutcome({ truth: 0.4, decision: "conditional-pass" }),
      pointOutcome({ truth: -0.6, decision: "undecided" }),
      pointOutcome({ tolerance: null, decision: null, truth: 9 }),
    ]);
    expect(figures.falseAccept).toBe(1 / 5);
    expect(figures.falseReject).toBe(1 / 5);
    expect(figures.outOfTolerance).toBe(3 / 5);
    expect(figures.accepted).toBe(2 / 5);
  });

  it("measures a forecast against the moment that came", () => {
    const { wait30, wait70, ramp30 } = figuresOf([pointOutcome()]).forecast;
    // Ready at 1600. At 1180 it said 1660: 60 s off, a tenth of the wait and a seventh of the 420 s that were left.
    expect(wait30.ofWait.median).toBeCloseTo(0.1, 12);
    expect(wait30.ofLeft.median).toBeCloseTo(1 / 7, 12);
    expect(wait30.held).toBe(1);
    expect(wait70.ofWait.median).toBe(0);
    expect(ramp30.made).toBe(0);
    expect(ramp30.ofWait.median).toBeNull();
  });

  it("has nothing to say of no points", () => {
    expect(figuresOf([])).toMatchObject({ points: 0, coverage: null, timeToOracle: null, uToError: null });
  });
});

it("a cell's table tells what was not measured and why, and breaks the rest down by set point", () => {
  const points = [pointOutcome({ setPoint: 200 }), pointOutcome({ setPoint: 100 }), pointOutcome({ setPoint: 100 })];
  const table = cellTable(
    { cell: "c", source: "bath", item: "i", stress: null },
    points,
    [
      {
        seed: 1,
        points,
        missed: [
          { item: "item", setPoint: 300, reason: "too slow" },
          { item: "other", setPoint: 300, reason: "x" },
        ],
        fault: null,
      },
      { seed: 2, points: [], missed: [], fault: { code: "internal", message: "broken" } },
    ],
    "item",
  );
  expect(table.setPoints.map(({ setPoint, points }) => [setPoint, points])).toEqual([
    [100, 2],
    [200, 1],
  ]);
  expect(table).toMatchObject({ points: 3, missed: 1, failedRuns: 1 });
  expect(table.reasons).toEqual([
    { reason: "too slow", count: 1 },
    { reason: "internal: broken", count: 1 },
  ]);
});
