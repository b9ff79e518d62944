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

  it("keeps the places that the report printed, and works them out where it does not say", () => {
    // 0.2 mΩ off: within ±0.5 mΩ of three places, beyond ±0.05 mΩ of four.
    const values = (digits?: number) => [
      { temperature: 0, signal: own.r0 + 0.0002, ...(digits === undefined ? {} : { digits }) },
      { temperature: 100, signal: Number(resistance(100).toFixed(4)), ...(digits === undefined ? {} : { digits }) },
    ];
    const of = (digits?: number) =>
      checkReference({ ...reference, calibration: { ...reference.calibration, checkValues: values(digits) } })!;
    expect(of(3).checkValues.map(({ agrees, tolerance }) => [agrees, tolerance])).toEqual([
      [true, 0.0005],
      [true, 0.0005],
    ]);
    expect(of().checkValues.map(({ agrees }) => agrees)).toEqual([false, true]);
    expect(of().checkValues[0]!.tolerance).toBeCloseTo(5e-5, 12);
  });

  it("says one check value in the singular, and an exact one as nothing", () => {
    const one = (signal: number) =>
      checkReference({
        ...reference,
        calibration: { ...reference.calibration, checkValues: [{ temperature: 0, signal, digits: 3 }] },
      })!;
    expect(one(own.r0).words).toBe("Reproduces the 1 check value of DEMO-2231 within 0 Ω (0 mK).");
    // 0.0002 Ω at 0.3909 Ω/K (R0·A) are 0.51 mK.
    const off = one(own.r0 + 0.0002);
    expect(off.words).toBe("Reproduces the 1 check value of DEMO-2231 within 0.00020 Ω (0.51 mK).");
    expect(off.largest!.kelvin).toBeCloseTo(0.0002 / (own.r0 * own.a), 9);
    expect(off.largest!.temperature).toBe(0);
    // The largest of several, whichever sign and place it has.
    const several = checkReference({
      ...reference,
      calibration: {
        ...reference.calibration,
        checkValues: [
          { temperature: 0, signal: own.r0 + 0.0001, digits: 3 },
          { temperature: 100, signal: resistance(100) + 0.0003, digits: 3 },
          { temperature: 200, signal: resistance(200) - 0.0002, digits: 3 },
        ],
      },
    })!;
    expect(several.largest).toMatchObject({ temperature: 100, signal: expect.closeTo(0.0003, 9) });
    expect(several.words).toMatch(/^Reproduces the 3 check values/);
  });

  it("refuses what cannot be checked at all, with no values", () => {
    const check = checkReference({
      ...reference,
      calibration: { ...reference.calibration, checkValues: [{ temperature: 0, signal: Number.NaN }] },
    })!;
    expect(check).toMatchObject({ agrees: false, checkValues: [], largest: null });
    expect(check.words).toMatch(/must be finite numbers/);
  });

  it("beyond the range of its equation has no largest difference, and is refused", () => {
    const check = checkReference({
      ...reference,
      calibration: { ...reference.calibration, checkValues: [{ temperature: 900, signal: 400, digits: 3 }] },
    })!;
    expect(check).toMatchObject({ agrees: false, largest: null, fault: { code: "kit.coefficients-differ" } });
  });
});
