import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { standardPlatinum } from "./callendar-van-dusen.ts";
import { signalOf, temperatureOf } from "./convert.ts";
import { prepare } from "./prepare.ts";

const table = JSON.parse(
  readFileSync(new URL("../../test/fixtures/thermometry/iec-60751-table.json", import.meta.url), "utf8"),
) as {
  readonly rows: readonly { readonly celsius: number; readonly ohm: string }[];
};
const codeOf = (outcome: ReturnType<typeof temperatureOf>): string => (outcome.ok ? "converted" : outcome.fault.code);

describe("Callendar-Van Dusen", () => {
  it.each(table.rows)(
    "the 100 Ω thermometer has $ohm Ω at $celsius °C (IEC 60751, table), both ways",
    ({ celsius, ohm }) => {
      const conversion = unwrap(signalOf(standardPlatinum, celsius));
      expect(Math.abs(conversion.signal - Number(ohm))).toBeLessThanOrEqual(0.005);
      expect(Math.abs(unwrap(temperatureOf(standardPlatinum, conversion.signal)).temperature - celsius)).toBeLessThan(
        1e-9,
      );
    },
  );

  // Resistance and slope: computed elsewhere from the same standard, common practice.
  it.each([
    [-100, 60.256, 0.4053],
    [0, 100, 0.3908],
    [25, 109.735, 0.3879],
    [100, 138.505, 0.3793],
    [150, 157.325, 0.3735],
    [300, 212.051, 0.3562],
    [600, 313.708, 0.3215],
  ])("at %s °C: %s Ω, %s Ω/K", (temperature, ohm, slope) => {
    const conversion = unwrap(signalOf(standardPlatinum, temperature));
    expect(Math.abs(conversion.signal - ohm)).toBeLessThanOrEqual(5.1e-4);
    expect(Math.abs(conversion.slope - slope)).toBeLessThanOrEqual(5.1e-5);
  });

  it("is the closed solution of the quadratic from 0 °C up", () => {
    const { r0, a, b } = standardPlatinum;
    for (const resistance of [100, 107.7935, 138.5055, 250, 390.48]) {
      const rise = resistance / r0 - 1;
      const closed = (2 * rise) / (a + Math.sqrt(a * a + 4 * b * rise));
      expect(Math.abs(unwrap(temperatureOf(standardPlatinum, resistance)).temperature - closed)).toBeLessThan(1e-10);
    }
  });

  it("scales with R0 and passes 0 °C exactly", () => {
    expect(unwrap(signalOf({ ...standardPlatinum, r0: 1000 }, 0)).signal).toBe(1000);
    expect(unwrap(temperatureOf(standardPlatinum, 100)).temperature).toBe(0);
    expect(unwrap(signalOf({ ...standardPlatinum, r0: 1000 }, 150)).signal).toBeCloseTo(1573.251, 3);
  });

  it("ends at −200 °C and 850 °C", () => {
    expect(unwrap(prepare(standardPlatinum)).temperatureRange).toEqual({ lower: -200, upper: 850 });
    for (const temperature of [-200.0001, 850.0001, 1e308])
      expect(codeOf(signalOf(standardPlatinum, temperature))).toBe("thermometry.out-of-range");
    for (const resistance of [18.5, 0, -1, 390.5, 1e308])
      expect(codeOf(temperatureOf(standardPlatinum, resistance))).toBe("thermometry.out-of-range");
    for (const value of [NaN, Infinity]) expect(codeOf(temperatureOf(standardPlatinum, value))).toBe("input.invalid");
  });

  it("without c, or with an odd b, is used on the part where it rises", () => {
    expect(unwrap(prepare({ ...standardPlatinum, c: 0 })).temperatureRange).toEqual({ lower: -200, upper: 850 });
    const bent = unwrap(prepare({ ...standardPlatinum, b: -4e-6 }));
    expect(bent.temperatureRange.upper).toBeCloseTo(3.9083e-3 / 8e-6, 6);
    const low = unwrap(prepare({ ...standardPlatinum, b: -3e-5, c: 0 }));
    expect(low.temperatureRange.upper).toBeCloseTo(3.9083e-3 / 6e-5, 6);
    expect(low.temperatureRange.lower).toBeLessThan(-100);
    // Falls to its least resistance below −33 °C, and farther down is below 0 Ω: only the part around 0 °C counts.
    const humped = unwrap(prepare({ ...standardPlatinum, a: 4e-3, b: 6e-5, c: -1.2e-9 }));
    expect(humped.temperatureRange.lower).toBeGreaterThan(-60);
    expect(humped.temperatureRange.lower).toBeLessThan(-33);
    const steep = unwrap(prepare({ ...standardPlatinum, a: 6e-3, b: 0, c: 0 }));
    expect(steep.signalRange.lower).toBeGreaterThan(0);
    expect(unwrap(steep.temperature(steep.signalRange.lower)).temperature).toBeCloseTo(steep.temperatureRange.lower, 9);
  });

  it.each([
    ["no resistance", { r0: 0 }],
    ["negative resistance", { r0: -100 }],
    ["a that is not a number", { a: NaN }],
    ["falling resistance", { a: -3.9e-3 }],
    ["falling resistance, though it rises up to 0 °C", { a: 0, b: -1e-6 }],
    ["less than one degree", { b: -4 }],
    ["infinite b", { b: Infinity }],
    ["c that is not a number", { c: NaN }],
    ["absurd c", { c: 1e308 }],
    ["absurd b", { b: -1 }],
    ["a resistance beyond all doubles", { r0: 1e308 }],
  ])("refuses %s", (_, change) => {
    expect(codeOf(temperatureOf({ ...standardPlatinum, ...change }, 110))).toBe("thermometry.invalid");
  });
});
