import { describe, expect, it } from "vitest";
import { inventedJob } from "../evaluate/invented-run.test-support.ts";
import type { Reference } from "../job/kit.ts";
import { checkReference } from "./check-reference.ts";

const { reference } = inventedJob().kit;
type Sensor = Extract<Reference["sensor"], { equation: "callendar-van-dusen" }>;
const own = reference.sensor as Sensor;

/** Ω of the invented reference by its equation, worked out apart: R0·(1 + A·t + B·t² + C·(t − 100)·t³ below 0 °C). */
const resistance = (t: number): number =>
  own.r0 * (1 + own.a * t + own.b * t * t + (t < 0 ? own.c * (t - 100) * t ** 3 : 0));

const checkValues = [-40, 0, 100, 200, 420].map((temperature) => ({
  temperature,
  signal: Number(resistance(temperature).toFixed(4)),
  digits: 4,
}));

const withValues = (changes: Partial<Sensor> = {}): Reference => ({
  ...reference,
  sensor: { ...own, ...changes },
  calibration: { ...reference.calibration, checkValues },
});

describe("a reference against its report's check values", () => {
  it("has nothing to say where the report gave none", () => {
    expect(checkReference(reference)).toBeNull();
  });

  it("says within what it reproduces them [C42]", () => {
    const check = checkReference(withValues())!;
    expect(check).toMatchObject({ agrees: true, fault: null });
    const largest = Math.max(
      ...checkValues.map(({ temperature, signal }) => Math.abs(resistance(temperature) - signal)),
    );
    expect(check.largest!.signal).toBeCloseTo(largest, 10);
    expect(largest).toBeLessThan(5e-5);
    expect(check.words).toMatch(/^Reproduces the 5 check values of DEMO-2231 within 0\.0000\d+ Ω \(0\.\d+ mK\)\.$/);
  });

  it("refuses a single wrong digit and points at it [C42]", () => {
    const check = checkReference(withValues({ a: 3.9088e-3 }))!;
    expect(check.agrees).toBe(false);
    expect(check.fault).toMatchObject({
      code: "kit.coefficients-differ",
      data: { id: "ref-7", certificate: "DEMO-2231" },
    });
    expect(check.words).toContain("digit 5 of a");
    expect(check.words).toContain("is 8 and should be 5");
  });

  it("lets pass what rounding the coefficients for print explains, and says so [C42]", () => {
    const rounded = Object.fromEntries(
      (["r0", "a", "b", "c"] as const).map((name) => [name, Number(own[name].toPrecision(5))]),
    );
    const printed: Reference = {
      ...withValues(rounded),
      calibration: {
        ...reference.calibration,
        checkValues: checkValues.map((value) => ({
          ...value,
          signal: value.signal + 0.0004 * (value.temperature / 100 - 2),
        })),
      },
    };
    const check = checkReference(printed)!;
    expect(check.agrees).toBe(true);
    expect(check.words).toContain("as near as the rounding of its printed coefficients lets it come");
  });

  it("refuses check values for a sensor without coefficients", () => {
    const check = checkReference({ ...withValues(), sensor: { kind: "indication" }, unit: "°C" })!;
    expect(check).toMatchObject({ agrees: false, largest: null, fault: { code: "kit.coefficients-differ" } });
  });
});
