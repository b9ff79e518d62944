import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { evaluate, type MeasuredPoint, type RunEvent } from "#calibration";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "#thermometry";
import { correctedLog } from "./corrected-log.ts";
import { platinum, visit, type VisitPlan } from "./invented-visit.test-support.ts";
import { reassess } from "./reassess.ts";
import { suspicionSchema, type Suspicion } from "./suspicion.ts";

const suspicion = (changes: Record<string, unknown> = {}): Suspicion =>
  suspicionSchema.parse({
    kit: { kind: "reference", serial: "demo-ref" },
    good: "2025-01-01",
    bad: "2026-01-01",
    correction: { kind: "differences", table: [{ at: 0, add: 0.12 }] },
    course: { kind: "linear" },
    reason: "found out at its recalibration",
    ...changes,
  });

/** The day of 2025 that is so many days after the first of January. */
const dayOfYear = (after: number): string => {
  const lengths = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  let [month, rest] = [0, after];
  while (rest >= lengths[month]!) {
    rest -= lengths[month]!;
    month += 1;
  }
  return `2025-${String(month + 1).padStart(2, "0")}-${String(rest + 1).padStart(2, "0")}`;
};

const day180 = "2025-06-30T08:00:00Z";
const pointsOf = (log: readonly RunEvent[]): MeasuredPoint[] =>
  evaluate(log).items[0]!.passes[0]!.points.map((point) => {
    if (point.status !== "measured") throw new Error(point.reason);
    return point;
  });
const moved = (plan: VisitPlan, changes: Record<string, unknown> = {}) =>
  reassess(visit({ opened: day180, ...plan }), suspicion(changes)).results;

describe("results evaluated again", () => {
  it("[T1] [T6] the worked case of the trade: day 180 of 365, +0.12 K, limits ±0.35 K, simple acceptance", () => {
    // Common practice, no source: +0.30 becomes +0.241 and stands, −0.31 becomes −0.369 and falls out.
    const [better, worse] = moved({ errors: [0.3, -0.31] });
    expect(better!.after!.error).toBeCloseTo(0.241, 3);
    expect(better).toMatchObject({ before: { decision: "pass" }, after: { decision: "pass" }, statement: "stands" });
    expect(worse!.after!.error).toBeCloseTo(-0.369, 3);
    expect(worse).toMatchObject({
      before: { decision: "pass" },
      after: { decision: "fail" },
      statement: "changes",
      act: true,
    });
  });

  it("[T1] gives the result of the log where there is nothing to correct", () => {
    const log = visit({ errors: [0.1, 0.2], opened: "2024-12-31T08:00:00Z" });
    expect(correctedLog(log, suspicion())).toBe(log);
    const again = reassess(log, suspicion());
    expect(again.applied).toBe(0);
    for (const result of again.results)
      expect(result).toMatchObject({ moved: 0, share: 0, statement: "stands", act: false });
  });

  it("[T4] moves each error by what was added to the reference at its temperature, there and beyond the table", () => {
    const table = [
      { at: 20, add: 0.1 },
      { at: 120, add: -0.3 },
    ];
    const correction = { kind: "differences", table };
    const [low, high] = moved({ errors: [0, 0] }, { correction, course: { kind: "step" } });
    expect(low!.moved).toBeCloseTo(-0.1, 6);
    // 80 % of the way from 0.1 to −0.3.
    expect(high!.moved).toBeCloseTo(0.22, 5);
  });

  it("[T4] replaces coefficients: a digit of R0 that was mistyped", () => {
    const right = { ...platinum, r0: 100.021 };
    const correction = { kind: "coefficients", sensor: right };
    const results = moved({ errors: [0, 0] }, { correction, course: { kind: "step" } });
    for (const { nominal, moved: by } of results) {
      const { signal } = unwrap(signalOf(platinum, nominal));
      expect(by).toBeCloseTo(nominal - unwrap(temperatureOf(right, signal)).temperature, 6);
      expect(by).toBeGreaterThan(0.02);
    }
  });

  it("[T4] gives what an evaluation with the right coefficients gives", () => {
    const right = { ...platinum, r0: 100.021, b: -5.9e-7 };
    const log = visit({ errors: [0.02, -0.05], opened: day180 });
    const [opened] = log;
    if (opened?.kind !== "run-opened") throw new Error("no opening");
    const kit = { ...opened.job.kit, reference: { ...opened.job.kit.reference, sensor: right } };
    const anew = pointsOf([{ ...opened, job: { ...opened.job, kit } }, ...log.slice(1)]);
    const again = reassess(
      log,
      suspicion({ correction: { kind: "coefficients", sensor: right }, course: { kind: "step" } }),
    );
    for (const [index, { after }] of again.results.entries()) {
      expect(after!.error).toBeCloseTo(anew[index]!.error.value, 8);
      expect(after!.U).toBeCloseTo(anew[index]!.budget.U, 5);
    }
  });

  it("[T5] adds the correction's own uncertainty, times its share", () => {
    const table = [{ at: 0, add: 0, u: 0.04 }];
    const [point] = moved({ errors: [0], points: [100] }, { correction: { kind: "differences", table } });
    const { before, after } = point!;
    const grown = Math.sqrt(after!.U ** 2 - before.U ** 2) / 2;
    expect(grown).toBeCloseTo((0.04 * 180) / 365, 3);
    expect(point!.moved).toBeCloseTo(0, 9);
  });

  it("[T3] [T5] takes half with its limits where the course is not known", () => {
    const [point] = moved({ errors: [0], points: [100] }, { course: { kind: "unknown" } });
    expect(point!.moved).toBeCloseTo(-0.06, 6);
    const grown = Math.sqrt(point!.after!.U ** 2 - point!.before.U ** 2) / 2;
    expect(grown).toBeCloseTo(0.06 / Math.sqrt(3), 2);
  });

  it("[T4] leaves the digit of the readings what it was", () => {
    const log = visit({ errors: [0], points: [100], opened: day180 });
    const resolution = (events: readonly RunEvent[]) =>
      pointsOf(events)[0]!.budget.lines.find(({ id }) => id === "reference.resolution")!.u;
    expect(resolution(correctedLog(log, suspicion()))).toBe(resolution(log));
  });

  it("[T4] corrects every channel that a readout read, so that what is common cancels", () => {
    const correction = {
      kind: "differences",
      unit: "Ω",
      table: [
        { at: 0, add: 0 },
        { at: 200, add: 0.2 },
      ],
    };
    const changes = { kit: { kind: "readout", serial: "demo-readout" }, correction, course: { kind: "step" } };
    // Reference and item read nearly the same resistance: a gain of 0.1 % moves the error by next to nothing.
    const [common] = moved({ errors: [0.01], points: [100] }, changes);
    expect(Math.abs(common!.moved!)).toBeLessThan(0.005);
    // A loop is read in mA: only the reference moves, by 0.1 % of its resistance.
    const loop = { unit: "mA", sensor: { kind: "loop", lower: 0, upper: 200 } } as const;
    const [alone] = moved({ errors: [0], points: [100], item: loop }, changes);
    const { signal, slope } = unwrap(signalOf(platinum, 100));
    expect(alone!.moved).toBeCloseTo((-signal * 1e-3) / slope, 3);
  });

  it("[T4] leaves runs alone that used another probe, entry or revision", () => {
    for (const kit of [
      { kind: "reference", serial: "another" },
      { kind: "reference", serial: "demo-ref", entry: "ref-8" },
      { kind: "reference", serial: "demo-ref", entry: "ref-7", revision: 2 },
    ])
      for (const result of moved({ errors: [0.1, 0.1] }, { kit })) expect(result.moved).toBe(0);
    for (const kit of [{ kind: "reference", serial: "demo-ref", entry: "ref-7", revision: 1 }])
      for (const result of moved({ errors: [0.1, 0.1] }, { kit })) expect(result.moved).toBeLessThan(-0.05);
  });

  it("[T6] counts what moves by more than the share of U that was said, though its statement stands", () => {
    const [point] = moved({ errors: [0], points: [100] });
    expect(point!.share).toBeCloseTo((0.12 * (180 / 365)) / point!.before.U, 3);
    expect(point).toMatchObject({ statement: "stands", act: true });
    expect(moved({ errors: [0], points: [100] }, { significant: 10 })[0]).toMatchObject({ act: false });
  });

  it("[T7] says so where a point cannot be evaluated any more", () => {
    const reference = { range: { minimum: -40, maximum: 100.05 } };
    const [point] = moved(
      { errors: [0], points: [100], reference },
      {
        correction: { kind: "differences", table: [{ at: 100, add: 5 }] },
        course: { kind: "step" },
      },
    );
    expect(point).toMatchObject({ after: null, moved: null, statement: "cannot-tell", act: true });
    expect(point!.reason).toMatch(/is calibrated from .* this point is at 105/);
  });

  it("[T4] moves by minus the share of the correction for any item, error and day", () => {
    const loop = { unit: "mA", sensor: { kind: "loop", lower: -20, upper: 180 } } as const;
    fc.assert(
      fc.property(
        fc.double({ min: -0.3, max: 0.3, noNaN: true }),
        fc.double({ min: -0.5, max: 0.5, noNaN: true }),
        fc.integer({ min: 1, max: 364 }),
        fc.boolean(),
        (add, error, day, isLoop) => {
          const opened = `${dayOfYear(day)}T08:00:00Z`;
          const changes = { correction: { kind: "differences", table: [{ at: 0, add }] } };
          const results = moved({ errors: [error, error], opened, ...(isLoop ? { item: loop } : {}) }, changes);
          for (const { moved: by } of results) expect(by).toBeCloseTo((-add * day) / 365, 6);
        },
      ),
      { seed: 20261125, numRuns: 60 },
    );
  });
});
