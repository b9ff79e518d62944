import { describe, expect, it } from "vitest";
import { calendarDay } from "#calibration";
import { shareAt } from "./share-at.ts";
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

const onDay = (day: number, changes: Record<string, unknown> = {}) =>
  shareAt(suspicion(changes), calendarDay("2025-01-01") + day);

describe("how much of a correction applied on a day", () => {
  // Common practice, no source: of +0.12 K found out after 365 days, linear.
  it.each([
    [30, 0.01],
    [180, 0.059],
    [330, 0.108],
  ])("[T2] grows evenly: on day %i of 365, %f K of 0.12 K", (day, kelvin) => {
    expect(0.12 * onDay(day).share).toBeCloseTo(kelvin, 3);
  });

  it("[T2] is nought up to the last good evidence and whole from the finding on, whatever the course", () => {
    const shares = [{ day: "2025-06-01", share: 0.5 }];
    for (const course of [{ kind: "step" }, { kind: "linear" }, { kind: "unknown" }, { kind: "checks", shares }]) {
      for (const day of [-400, -1, 0]) expect(onDay(day, { course })).toEqual({ share: 0, u: 0 });
      for (const day of [365, 366, 4000]) expect(onDay(day, { course })).toEqual({ share: 1, u: 0 });
    }
  });

  it("[T2] is whole from the first day on where the worst is assumed", () => {
    expect(onDay(1, { course: { kind: "step" } })).toEqual({ share: 1, u: 0 });
  });

  it("[T3] is half with the other half as limits where the course is not known", () => {
    const { share, u } = onDay(1, { course: { kind: "unknown" } });
    expect(share).toBe(0.5);
    // GUM 4.3.7: limits ±a/2 give a/2/√3.
    expect(0.12 * u).toBeCloseTo(0.06 / Math.sqrt(3), 12);
  });

  it("[T2] follows the checks between them, and the two ends beyond them", () => {
    const course = {
      kind: "checks",
      shares: [
        { day: "2025-01-11", share: 0 },
        { day: "2025-01-21", share: 0.4 },
      ],
    };
    expect(onDay(5, { course }).share).toBe(0);
    expect(onDay(10, { course }).share).toBe(0);
    expect(onDay(15, { course }).share).toBeCloseTo(0.2, 12);
    expect(onDay(20, { course }).share).toBeCloseTo(0.4, 12);
    // From day 20 to day 365 the rest comes evenly.
    expect(onDay(20 + 345 / 2, { course }).share).toBeCloseTo(0.7, 12);
  });

  it("[T2] believes a check on the day of the finding", () => {
    const course = { kind: "checks", shares: [{ day: "2026-01-01", share: 0.8 }] };
    expect(onDay(365 / 2, { course }).share).toBeCloseTo(0.4, 12);
  });
});

describe("a suspicion as it is written", () => {
  it.each([
    ["found out before its last good evidence", { bad: "2024-12-31" }],
    [
      "give differences",
      { kit: { kind: "readout", serial: "r" }, correction: { kind: "coefficients", sensor: { kind: "indication" } } },
    ],
    ["in which unit", { kit: { kind: "readout", serial: "r" } }],
    ["before good or after bad", { course: { kind: "checks", shares: [{ day: "2026-01-02", share: 1 }] } }],
    [
      "each `at` once",
      {
        correction: {
          kind: "differences",
          table: [
            { at: 1, add: 0 },
            { at: 1, add: 1 },
          ],
        },
      },
    ],
    [
      "each once",
      {
        course: {
          kind: "checks",
          shares: [
            { day: "2025-02-01", share: 0 },
            { day: "2025-02-01", share: 1 },
          ],
        },
      },
    ],
  ])("is refused where it says nothing: %s", (words, changes) => {
    expect(() => suspicion(changes)).toThrow(words);
  });
});
