import { describe, expect, it } from "vitest";
import type { Kit } from "../job/kit.ts";
import { inventedJob } from "./invented-run.test-support.ts";
import { calendarDay } from "./calendar-day.ts";
import { coversDay, kitOutOfCalibration, referenceInRange, tablesThatEnd } from "./kit-validity.ts";

const { kit } = inventedJob();

describe("tables of the kit", () => {
  // The axial figure is given from 0 °C to 400 °C; one kelvin beyond either end still counts (rule: common practice).
  it.each([
    [-1.01, true],
    [-0.99, false],
    [200, false],
    [400.99, false],
    [401.01, true],
  ])("that end before %s °C are named: %s", (temperature, named) => {
    const sentences = tablesThatEnd(kit, temperature);
    expect(sentences).toHaveLength(named ? 1 : 0);
    expect(sentences.join()).toMatch(
      named ? `axial figure of block-1 does not reach ${temperature.toFixed(1)} °C` : /^$/u,
    );
  });

  it("are each judged by their own ends", () => {
    const table = [
      { temperature: 50, value: 0.1 },
      { temperature: 60, value: 0.1 },
    ];
    const short: Kit = { ...kit, source: { ...kit.source, radial: table, loading: table } };
    expect(tablesThatEnd(short, 55)).toEqual([]);
    expect(tablesThatEnd(short, 100).map((sentence) => /the (\w+) figure/u.exec(sentence)?.[1])).toEqual([
      "radial",
      "loading",
    ]);
    expect(tablesThatEnd(short, 40)).toHaveLength(2);
  });
});

describe("the range of the reference, −40 °C to 420 °C", () => {
  it.each([
    [-40, -40.9, true],
    [-40, -41.1, false],
    [-40.1, -40, false],
    [420, 420.9, true],
    [420, 421.1, false],
    [420.1, 420, false],
    [100, 100, true],
  ])("a set point of %s °C that reads %s °C: %s", (nominal, temperature, covered) => {
    const outcome = referenceInRange(kit.reference, nominal, temperature);
    expect(outcome.ok).toBe(covered);
    expect(outcome).toMatchObject(
      covered
        ? { value: null }
        : { fault: { code: "kit.out-of-range", data: { id: "ref-7", temperature, minimum: -40, maximum: 420 } } },
    );
  });
});

describe("a calibration from 12 January 2026, due a year later", () => {
  it.each([
    ["2026-01-11T23:59:00Z", 0, false],
    ["2026-01-11T23:59:00Z", 120, true],
    ["2026-01-12T00:00:00Z", 0, true],
    ["2027-01-12T23:59:00Z", 0, true],
    ["2027-01-12T23:59:00Z", 120, false],
  ])("covers the day of %s and %s s: %s", (opened, at, covered) => {
    expect(coversDay(kit.reference.calibration, opened, at)).toBe(covered);
  });
});

describe("kit whose calibration does not cover the day [C28]", () => {
  // The reference is calibrated from 12 January 2026, the readout from 2 February; both for a year.
  it.each([
    ["2026-01-11", ["ref-7", "readout-2"]],
    ["2026-01-12", ["readout-2"]],
    ["2026-02-02", []],
    ["2027-01-12", []],
    ["2027-01-13", ["ref-7"]],
    ["2027-02-02", ["ref-7"]],
    ["2027-02-03", ["ref-7", "readout-2"]],
  ])("on %s is %j", (date, ids) => {
    const faults = kitOutOfCalibration(kit, calendarDay(date));
    expect(faults.map(({ data }) => data?.["id"])).toEqual(ids);
  });

  it("is named with its certificate and what that covers", () => {
    const [first] = kitOutOfCalibration(kit, calendarDay("2028-01-01"));
    expect(first).toMatchObject({
      code: "kit.out-of-calibration",
      data: { id: "ref-7", certificate: "DEMO-2231", date: "2026-01-12", due: "2027-01-12" },
    });
  });
});
