import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { thermocoupleTypes, type Sensor, type ThermocoupleType } from "#thermometry";
import { toleranceClasses, toleranceSchema, type Tolerance, type ToleranceClass } from "../job/item.ts";
import { classTolerance, type Construction } from "./class-tolerance.ts";
import platinumClasses from "./platinum-classes.json" with { type: "json" };
import thermocoupleClasses from "./thermocouple-classes.json" with { type: "json" };
import { toleranceAt } from "./tolerance-at.ts";

const limit = (
  name: ToleranceClass,
  type: ThermocoupleType | undefined,
  temperature: number,
  construction?: Construction,
): number | string => {
  const outcome = classTolerance(name, type, temperature, construction);
  if (!outcome.ok) return outcome.fault.code;
  expect(outcome.value.lower).toBe(-outcome.value.upper);
  return outcome.value.upper;
};
const none = "tolerance.undefined";

describe("IEC 60584-1:2013, clause 6", () => {
  it.each<[number, ThermocoupleType, number, number | string]>([
    [1, "K", -40, 1.5],
    [1, "K", 375, 1.5],
    [1, "K", 400, 1.6],
    [1, "K", 1000, 4],
    [1, "K", 1000.1, none],
    [1, "K", -40.1, none],
    [2, "K", 333, 2.5],
    [2, "K", 400, 3],
    [2, "K", 1200, 9],
    [2, "K", 1201, none],
    [3, "K", -200, 3],
    [3, "K", -167, 2.505],
    [3, "K", -100, 2.5],
    [3, "K", 40, 2.5],
    [3, "K", 41, none],
    [3, "K", -201, none],
    [1, "E", 800, 3.2],
    [2, "E", 900, 6.75],
    [3, "E", -200, 3],
    [1, "J", 750, 3],
    [2, "J", 750, 5.625],
    [3, "J", 0, none],
    [1, "N", 500, 2],
    [2, "N", 0, 2.5],
    [3, "N", -180, 2.7],
    [1, "T", 125, 0.5],
    [1, "T", 350, 1.4],
    [2, "T", 133, 1],
    [2, "T", 350, 2.625],
    [3, "T", -67, 1.005],
    [3, "T", -200, 3],
    [1, "R", 0, 1],
    [1, "R", 1100, 1],
    [1, "S", 1600, 2.5],
    [2, "S", 600, 1.5],
    [2, "R", 1600, 4],
    [3, "S", 100, none],
    [1, "S", -1, none],
    [1, "B", 1000, none],
    [2, "B", 600, 1.5],
    [2, "B", 1700, 4.25],
    [3, "B", 800, 4],
    [3, "B", 1700, 8.5],
    [2, "B", 599, none],
    [2, "C", 426, 4.26],
    [2, "C", 2315, 23.15],
    [1, "C", 500, none],
    [2, "A", 1000, 10],
    [2, "A", 2500, 25],
    [2, "A", 999, none],
  ])("class %s, type %s at %s °C: %s", (grade, type, temperature, expected) => {
    expect(limit(`iec-60584-1/${grade}` as ToleranceClass, type, temperature)).toBe(expected);
  });
});

describe("ASTM E230, Table 1", () => {
  it.each<["standard" | "special", ThermocoupleType, number, number | string]>([
    ["standard", "K", 0, 2.2],
    ["standard", "K", 293, 2.2],
    ["standard", "K", 1260, 9.45],
    ["special", "K", 275, 1.1],
    ["special", "K", 1260, 5.04],
    ["standard", "K", -200, 4],
    ["standard", "K", -100, 2.2],
    ["special", "K", -1, none],
    ["standard", "K", -201, none],
    ["special", "K", 1261, none],
    ["standard", "J", 760, 5.7],
    ["special", "J", 100, 1.1],
    ["standard", "J", -1, none],
    ["standard", "T", 0, 1],
    ["standard", "T", 370, 2.775],
    ["standard", "T", -200, 3],
    ["special", "T", 100, 0.5],
    ["standard", "E", 870, 4.35],
    ["standard", "E", -200, 2],
    ["special", "E", 500, 2],
    ["standard", "N", 500, 3.75],
    ["standard", "R", 1480, 3.7],
    ["special", "S", 1480, 1.48],
    ["special", "S", 0, 0.6],
    ["standard", "B", 870, 4.35],
    ["special", "B", 1700, 4.25],
    ["standard", "B", 869, none],
    ["standard", "C", 100, 4.4],
    ["standard", "C", 2315, 23.15],
    ["special", "C", 100, none],
    ["standard", "A", 1000, none],
  ])("%s, type %s at %s °C: %s", (grade, type, temperature, expected) => {
    expect(limit(`astm-e230/${grade}`, type, temperature)).toBe(expected);
  });
});

describe("IEC 60751, tolerance classes", () => {
  it.each<["AA" | "A" | "B" | "C", number, number | string, Construction?]>([
    ["AA", 150, 0.355],
    ["A", 150, 0.45],
    ["B", 150, 1.05],
    ["C", 150, 2.1],
    ["B", 0, 0.3],
    ["B", -100, 0.8],
    ["AA", -50, 0.185],
    ["AA", -50.1, none],
    ["AA", 250, 0.525],
    ["AA", 251, none],
    ["A", -100, 0.35],
    ["A", 450, 1.05],
    ["A", 451, none],
    ["B", -196, 1.28],
    ["B", -197, none],
    ["B", 600, 3.3],
    ["C", 600, 6.6],
    ["C", 601, none],
    ["AA", 0, 0.1, "film"],
    ["AA", -1, none, "film"],
    ["AA", 151, none, "film"],
    ["A", -30, 0.21, "film"],
    ["A", 301, none, "film"],
    ["B", 500, 2.8, "film"],
    ["B", 501, none, "film"],
    ["C", -50, 1.1, "film"],
    ["C", 600, 6.6, "film"],
    ["A", 450, 1.05, "wire-wound"],
  ])("class %s at %s °C: %s", (grade, temperature, expected, construction) => {
    expect(limit(`iec-60751/${grade}`, undefined, temperature, construction)).toBe(expected);
  });
});

describe("tolerance classes", () => {
  it("are never defined for what is not a number", () => {
    for (const name of toleranceClasses)
      for (const value of [NaN, Infinity, -Infinity]) expect(limit(name, "K", value)).toBe(none);
  });

  it("of thermocouples ask for the type", () => {
    const outcome = classTolerance("iec-60584-1/1", undefined, 100);
    expect(outcome.ok || outcome.fault.message).toMatch(/say which type/);
  });

  it("say where they are defined", () => {
    expect(classTolerance("iec-60584-1/1", "K", 1100)).toMatchObject({
      ok: false,
      fault: {
        message: expect.stringContaining("from -40 °C to 1000 °C, not at 1100 °C") as string,
        data: { lower: -40, upper: 1000 },
      },
    });
  });

  it("are data with a source, rows in order and joined, limits above zero and meeting at joins to rounding", () => {
    for (const standard of ["iec-60584-1", "astm-e230"] as const) {
      const { source, obtained, confidence, classes } = thermocoupleClasses[standard];
      for (const text of [source, obtained, confidence]) expect(text.length).toBeGreaterThan(10);
      for (const [type, grades] of Object.entries(classes)) {
        expect(thermocoupleTypes).toContain(type);
        for (const [grade, rows] of Object.entries(grades as Record<string, { lower: number; upper: number }[]>)) {
          rows.forEach(({ lower, upper }, index) => {
            expect(lower).toBeLessThan(upper);
            const joined = rows[index - 1]?.upper ?? lower;
            expect(joined).toBe(lower);
            const at = (temperature: number): number =>
              unwrap(classTolerance(`${standard}/${grade}` as ToleranceClass, type as ThermocoupleType, temperature))
                .upper;
            expect(at((lower + upper) / 2)).toBeGreaterThan(0);
            expect(Math.abs(at(lower + 1e-9) - at(lower))).toBeLessThan(0.0051);
          });
        }
      }
    }
    for (const entry of Object.values(platinumClasses.classes)) {
      const { film, "wire-wound": wound } = entry.ranges;
      expect(wound.lower).toBeLessThanOrEqual(film.lower);
      expect(wound.upper).toBeGreaterThanOrEqual(film.upper);
    }
  });
});

describe("an item's tolerance", () => {
  const loop: Sensor = { kind: "loop", lower: -50, upper: 150 };
  const typeK: Sensor = { kind: "thermocouple", type: "K" };
  const platinum: Sensor = {
    kind: "platinum",
    equation: "callendar-van-dusen",
    r0: 100,
    a: 3.9083e-3,
    b: -5.775e-7,
    c: -4.183e-12,
  };
  const upper = (
    tolerance: Tolerance,
    item: Parameters<typeof toleranceAt>[1],
    temperature: number,
  ): number | string => {
    const outcome = toleranceAt(tolerance, item, temperature);
    return outcome.ok ? outcome.value.upper : outcome.fault.code;
  };

  it("of a class takes the type from the sensor, or from what a transmitter holds", () => {
    expect(upper({ class: "iec-60584-1/1" }, { sensor: typeK }, 400)).toBe(1.6);
    expect(upper({ class: "iec-60584-1/1" }, { sensor: { ...loop, inner: typeK } }, 100)).toBe(1.5);
    expect(upper({ class: "iec-60584-1/1" }, { sensor: platinum }, 100)).toBe(none);
    expect(upper({ class: "iec-60751/A" }, { sensor: platinum }, 150)).toBe(0.45);
    expect(upper({ class: "iec-60751/AA", construction: "film" }, { sensor: platinum }, 200)).toBe(none);
    expect(upper({ class: "iec-60751/A" }, { sensor: loop }, 150)).toBe(0.45);
    expect(upper({ class: "iec-60751/A" }, { sensor: { kind: "indication" } }, 0)).toBe(0.15);
    expect(upper({ class: "iec-60751/A" }, { sensor: typeK }, 0)).toBe(none);
    expect(upper({ class: "iec-60751/A" }, { sensor: { ...loop, inner: typeK } }, 0)).toBe(none);
  });

  it("of kelvin, % of reading and % of span", () => {
    expect(upper({ kelvin: 0.5 }, { sensor: platinum }, 100)).toBe(0.5);
    expect(upper({ percentOfReading: 0.5 }, { sensor: platinum }, -80)).toBe(0.4);
    expect(upper({ percentOfSpan: 0.25 }, { sensor: loop }, 20)).toBe(0.5);
    expect(upper({ percentOfSpan: 0.25 }, { sensor: { ...loop, lower: 150, upper: -50 } }, 20)).toBe(0.5);
    expect(upper({ percentOfSpan: 1 }, { sensor: platinum, range: { lower: 0, upper: 120 } }, 20)).toBe(1.2);
    expect(upper({ percentOfSpan: 1 }, { sensor: loop, range: { lower: 0, upper: 120 } }, 20)).toBe(2);
    // The span is a distance: from −20 °C to 120 °C.
    for (const range of [
      { lower: -20, upper: 120 },
      { lower: 120, upper: -20 },
    ])
      expect(upper({ percentOfSpan: 1 }, { sensor: platinum, range }, 20)).toBe(1.4);
  });

  it("of several takes the larger, or the sum where it says so", () => {
    const both = { kelvin: 0.3, percentOfReading: 0.5 };
    expect(upper(both, { sensor: platinum }, 20)).toBe(0.3);
    expect(upper(both, { sensor: platinum }, 200)).toBe(1);
    expect(upper({ ...both, combine: "larger" }, { sensor: platinum }, 200)).toBe(1);
    expect(upper({ ...both, combine: "sum" }, { sensor: platinum }, 200)).toBe(1.3);
    expect(upper({ ...both, percentOfSpan: 1, combine: "sum" }, { sensor: loop }, -20)).toBe(2.4);
  });

  it("of a table is linear between its rows and nothing beyond them", () => {
    const table: Tolerance = {
      kelvinTable: [
        { temperature: 0, kelvin: 0.2 },
        { temperature: 100, kelvin: 0.4 },
        { temperature: 200, kelvin: 1 },
      ],
    };
    for (const [temperature, expected] of [
      [0, 0.2],
      [50, 0.3],
      [100, 0.4],
      [150, 0.7],
      [200, 1],
      [-1, none],
      [201, none],
    ] as const) {
      expect(upper(table, { sensor: platinum }, temperature)).toBe(expected);
    }
    expect(toleranceSchema.safeParse(table).success).toBe(true);
    expect(
      toleranceSchema.safeParse({
        kelvinTable: [
          { temperature: 5, kelvin: 1 },
          { temperature: 5, kelvin: 1 },
        ],
      }).success,
    ).toBe(false);
    expect(toleranceSchema.safeParse({}).success).toBe(false);
    expect(toleranceSchema.safeParse({ class: "iec-60751/A", kelvin: 1 }).success).toBe(false);
  });

  it("says where it is not defined, and for what", () => {
    const table = {
      kelvinTable: [
        { temperature: 0, kelvin: 0.2 },
        { temperature: 200, kelvin: 1 },
      ],
    };
    const fault = (tolerance: Tolerance, item: Parameters<typeof toleranceAt>[1], temperature: number) => {
      const outcome = toleranceAt(tolerance, item, temperature);
      return outcome.ok ? null : outcome.fault;
    };
    expect(fault(table, { sensor: platinum }, 201)).toMatchObject({
      message: expect.stringContaining("from 0 °C to 200 °C") as string,
      data: { temperature: 201, lower: 0, upper: 200 },
    });
    expect(fault({ percentOfSpan: 1 }, { sensor: platinum }, 20)!.message).toMatch(/needs the item's range/);
    expect(fault({ percentOfReading: 1 }, { sensor: platinum }, 0)).toMatchObject({
      message: expect.stringContaining("leaves no room") as string,
      data: { temperature: 0 },
    });
    expect(fault({ class: "iec-60751/A" }, { sensor: typeK }, 0)).toMatchObject({ data: { class: "iec-60751/A" } });
    expect(fault({ kelvin: 1 }, { sensor: platinum }, Number.NaN)).toMatchObject({ data: { temperature: "NaN" } });
    expect(fault({ class: "iec-60584-1/3" }, { sensor: { kind: "thermocouple", type: "S" } }, 0)).toMatchObject({
      data: { class: "iec-60584-1/3", type: "S" },
    });
    expect(fault({ class: "iec-60584-1/1" }, { sensor: { kind: "indication" } }, 0)).toMatchObject({
      data: { class: "iec-60584-1/1" },
    });
    expect(classTolerance("iec-60751/A", undefined, Number.POSITIVE_INFINITY)).toMatchObject({
      fault: { data: { temperature: "Infinity" }, message: expect.stringContaining("finite number") as string },
    });
  });

  it("is undefined where it leaves no room or lacks a span", () => {
    expect(upper({ percentOfReading: 1 }, { sensor: platinum }, 0)).toBe(none);
    expect(upper({ percentOfSpan: 1 }, { sensor: platinum }, 0)).toBe(none);
    for (const value of [NaN, Infinity]) expect(upper({ kelvin: 1 }, { sensor: platinum }, value)).toBe(none);
  });
});
