import { describe, expect, it } from "vitest";
import { markedReadings, proposeMarks } from "./point-marks.ts";
import type { Readings } from "./readings.ts";

/** A source that goes to each level, comes to rest with a time constant of a minute, and stays; one reading in 5 s. */
const record = (levels: readonly number[], stay = 1200) => {
  const times: number[] = [];
  const temperatures: number[] = [];
  let now = levels[0]!;
  for (const level of levels) {
    const from = now;
    for (let time = 0; time < stay; time += 5) {
      times.push(times.length * 5);
      now = level + (from - level) * Math.exp(-time / 60) + 0.002 * Math.sin(times.length);
      temperatures.push(now);
    }
  }
  return { times, temperatures };
};

const visitsOf = (...levels: readonly number[]) =>
  levels.map((temperature, point) => ({ pass: "as-found" as const, point, temperature }));

const found = (levels: readonly number[], wanted: readonly number[], length = 100, stay?: number) => {
  const { times, temperatures } = record(levels, stay);
  return proposeMarks(times, temperatures, { visits: visitsOf(...wanted), length, within: 3 });
};

describe("windows that are found", () => {
  it("lie late in the stay at each level, as long as is wanted, in order and apart", () => {
    const marks = found([20, 60, 120], [20, 60, 120]);
    expect(marks.map(({ point }) => point)).toEqual([0, 1, 2]);
    for (const [index, { from, to }] of marks.entries()) {
      expect(to - from).toBeGreaterThanOrEqual(100);
      expect(to - from).toBeLessThanOrEqual(105);
      // The last third of a stay of 1200 s, and not beyond it.
      expect(from).toBeGreaterThan(index * 1200 + 800);
      expect(to).toBeLessThanOrEqual((index + 1) * 1200);
    }
  });

  it("a level that was only passed through is no window", () => {
    const marks = found([20, 120, 60], [20, 60, 120]);
    // 60 °C was passed on the way up and stayed at only after 120 °C, which then is not found any more.
    expect(marks.map(({ point }) => point)).toEqual([0, 1]);
    expect(marks[1]!.from).toBeGreaterThan(2400);
  });

  it("a level that was never reached, or too shortly, is left out", () => {
    expect(found([20, 60], [20, 90, 60]).map(({ point }) => point)).toEqual([0, 2]);
    expect(found([20, 60], [20, 60], 100, 60)).toEqual([]);
  });

  it("the same level twice is found twice, once in each visit", () => {
    const marks = found([20, 60, 20], [20, 60, 20]);
    expect(marks.map(({ point }) => point)).toEqual([0, 1, 2]);
    expect(marks[2]!.from).toBeGreaterThan(2400);
  });

  it("nothing is found in nothing", () => {
    expect(proposeMarks([], [], { visits: visitsOf(20), length: 10, within: 3 })).toEqual([]);
  });
});

describe("marks that are given", () => {
  const readings: Readings = {
    name: "r.csv",
    start: null,
    hasPoints: true,
    unusedColumns: [],
    rows: [0, 1, 2, 3].map((time) => ({
      line: time + 2,
      time,
      channel: "reference",
      value: 100,
      digits: "100",
      unit: "Ω",
      pass: "as-found",
      point: 0,
    })),
  };

  it("take the place of what the file says, both ends included", () => {
    const marked = markedReadings(readings, [{ pass: "as-left", point: 1, from: 1, to: 2 }]);
    expect(marked.rows.map(({ point, pass }) => `${point} ${pass}`)).toEqual([
      "null as-found",
      "1 as-left",
      "1 as-left",
      "null as-found",
    ]);
    expect(marked.hasPoints).toBe(true);
    expect(markedReadings(readings, []).hasPoints).toBe(false);
    expect(readings.rows.every(({ point }) => point === 0)).toBe(true);
  });
});
