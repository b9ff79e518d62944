import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { findRulesOfFew, judgeFew, predictNext, type FewReading } from "./few-readings.ts";

const readings = (differences: readonly number[], interval = 60): FewReading[] =>
  differences.map((difference, index) => ({ time: index * interval, reference: 50, item: 50 + difference }));

const judged = (differences: readonly number[], options = { target: 0.3, resolution: 0 }) =>
  judgeFew(readings(differences), options)!;

describe("a few readings", () => {
  it("give mean, slope and their uncertainties by the textbook's straight line [S17]", () => {
    // JCGM 100:2008, H.3, Table H.6 (from memory): corrections of a thermometer at eleven temperatures, which stand for times here.
    const temperatures = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
    const corrections = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
    const table = temperatures.map((time, index) => ({ time, reference: 0, item: corrections[index]! }));
    const { slope, slopeStandardError, estimate } = judgeFew(table, { target: 1, resolution: 0 })!;
    // y2 = 0.00218, s(y2) = 0.00067 (H.3.3); the mean of the table by hand.
    expect(slope).toBeCloseTo(0.00218, 5);
    expect(slopeStandardError).toBeCloseTo(0.00067, 5);
    expect(estimate).toBeCloseTo(-0.16245, 5);
  });

  it("are ready when the change is shown to be within the target, with Student's factor for so few [S17]", () => {
    const target = { target: 0.15, resolution: 0 };
    const quiet = judged([0.1, 0.12, 0.09, 0.11, 0.1, 0.11], target);
    expect(quiet).toMatchObject({ readings: 6, from: 0, to: 300, verdict: "ready" });
    // Three readings of the same scatter show much less. By hand: slope -0.01 K in 120 s, residuals -0.008333, 0.016667 and
    // -0.008333, so s = 0.0204124 and s(b) = s/sqrt(7200); t(0.95, 1) = 6.31375.
    const few = judged([0.1, 0.12, 0.09], target);
    expect(few.verdict).toBe("open");
    expect(few.remainder).toBeCloseTo(0.01 + (6.31375 * 0.0204124 * 120) / Math.sqrt(7200), 5);
    expect(judgeFew(readings([0.1, 0.1]), { target: 1, resolution: 0 })).toBeNull();
  });

  it("that drift are said to, unless it is a trifle; what shows neither is open [S17]", () => {
    expect(judged([1, 0.8, 0.62, 0.41, 0.2, 0.01]).verdict).toBe("drifting");
    expect(judged([0, 0.021, 0.039, 0.061, 0.08, 0.099]).verdict).toBe("ready");
    expect(judged([0.6, -0.6, 0.5, -0.5, 0.6, -0.6]).verdict).toBe("open");
  });

  it("alike on a coarse display do not pass for exact [S18]", () => {
    const alike = judged([0.5, 0.5, 0.5, 0.5, 0.5, 0.5], { target: 0.3, resolution: 0.5 });
    expect(alike.standardUncertainty).toBeCloseTo(0.5 / Math.sqrt(12), 6);
    expect(alike.remainder).toBeCloseTo(1.645 * (0.5 / Math.sqrt(12)) * (300 / Math.sqrt(63000)), 3);
    expect(alike.verdict).toBe("ready");
    expect(judged([0.5, 0.5, 0.5], { target: 0.3, resolution: 0.5 }).remainder).toBeGreaterThan(0.3);
  });

  it("bound what a tail faster than the window still lacks in 95 % of cases or more [S17]", () => {
    const random = seededGenerator(20261125);
    let within = 0;
    const cases = 2000;
    for (let each = 0; each < cases; each += 1) {
      const count = 4 + Math.floor(random.next() * 5);
      const tau = 20 + random.next() * 60 * (count - 1);
      const size = 0.5 * (2 * random.next() - 1);
      const sigma = 0.01 + 0.1 * random.next();
      const missing = (time: number): number => size * Math.exp(-time / tau);
      const times = Array.from({ length: count }, (_, index) => index * 60);
      const { remainder } = judgeFew(
        times.map((time) => ({ time, reference: 0, item: missing(time) + sigma * random.normal() })),
        { target: 0.1, resolution: 0 },
      )!;
      const lacked = times.reduce((sum, time) => sum + missing(time), 0) / count;
      if (Math.abs(lacked) <= remainder) within += 1;
    }
    expect(within / cases).toBeGreaterThan(0.95);
  });

  it("foretell the next one by Student's prediction interval [S17]", () => {
    // s = 1, n = 4, t(0.995, 3) = 5.841: 5.841 * sqrt(1.25) = 6.530
    const next = predictNext([-1, 1, -0.7071067811865476, 0.7071067811865476], 0.99)!;
    expect(next.middle).toBeCloseTo(0, 9);
    expect(next.within).toBeCloseTo(5.8409 * Math.sqrt(1.25), 3);
    expect(predictNext([1], 0.99)).toBeNull();
  });
});

describe("written rules on a few readings", () => {
  const rules = {
    soak: 300,
    reachedWithin: 1,
    limits: [
      { on: "difference" as const, window: 240, spread: 0.1 },
      { on: "item" as const, window: 240, slope: 0.02 },
      { on: "source" as const, window: 120, spread: 1 },
    ],
  };

  it("hold over windows that reach back as far as they say, and not before [S15]", () => {
    const all = readings([0.1, 0.12, 0.08, 0.1, 0.14, 0.1]);
    const found = findRulesOfFew(all, rules, 0, 300);
    expect(found).toMatchObject([
      { rule: "soak", value: 300, holds: true },
      { rule: "spread", on: "difference", holds: true },
      { rule: "slope", on: "item", holds: true },
      { rule: "spread", on: "source", value: null, holds: false },
    ]);
    expect(found[1]!.value).toBeCloseTo(0.06, 9);
    expect(findRulesOfFew(all.slice(0, 4), rules, 60, 180).map(({ value, holds }) => ({ value, holds }))).toEqual([
      { value: 120, holds: false },
      { value: null, holds: false },
      { value: null, holds: false },
      { value: null, holds: false },
    ]);
    expect(findRulesOfFew(all, rules, null, 300)[0]).toMatchObject({ value: null, holds: false });
  });
});
