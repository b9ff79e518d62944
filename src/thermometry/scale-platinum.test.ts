import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "./convert.ts";
import { prepare } from "./prepare.ts";
import { referenceRatio, referenceTemperature } from "./reference-ratio.ts";
import type { DeviationCoefficients, ScalePlatinumSensor } from "./sensor.ts";
import { subranges } from "./subrange.ts";

const fixture = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../test/fixtures/thermometry/${name}`, import.meta.url), "utf8"));
const fixedPoints = fixture("its-90-fixed-points.json") as {
  readonly points: readonly { readonly substance: string; readonly celsius: string; readonly ratio: string }[];
};
const ratios = fixture("its-90-ratios.json") as {
  readonly values: readonly { readonly celsius: string; readonly ratio: string; readonly slopePerKelvin: string }[];
};
interface Case {
  readonly subrange: number;
  readonly coefficients: Readonly<Record<string, string>>;
}
const artificial = fixture("its-90-artificial-thermometer.json") as {
  readonly rtpw_ohm: string;
  readonly cases: readonly (Case & {
    readonly points: readonly { readonly celsius: string; readonly ohm: string }[];
  })[];
};
const fortyDigits = fixture("forty-digits.json") as {
  readonly thermometers: readonly (Case & { readonly points: readonly (readonly [string, string])[] })[];
};

const entry = ({ subrange, coefficients }: Case): DeviationCoefficients => ({
  subrange,
  ...Object.fromEntries(Object.entries(coefficients).map(([name, value]) => [name, Number(value)])),
});
const thermometer = (...coefficients: readonly DeviationCoefficients[]): ScalePlatinumSensor => ({
  kind: "platinum",
  equation: "its-90",
  rtpw: 100,
  coefficients,
});
const caseOf = (subrange: number): DeviationCoefficients =>
  entry(fortyDigits.thermometers.find((found) => found.subrange === subrange)!);
const codeOf = (outcome: ReturnType<typeof temperatureOf>): string => (outcome.ok ? "converted" : outcome.fault.code);

describe("reference functions of the ITS-90", () => {
  it.each(fixedPoints.points)(
    "Wr at the $substance point is $ratio to 1e-8 (Metrologia 27 (1990) 3, Table 1)",
    ({ celsius, ratio }) => {
      expect(Math.abs(unwrap(referenceRatio(Number(celsius))).ratio - Number(ratio))).toBeLessThanOrEqual(1e-8);
      // The printed ratio of silver is 2e-9 beyond the function's own end: 1 µK, but out of range.
      const inside = Math.min(Number(ratio), unwrap(referenceRatio(961.78)).ratio);
      expect(Math.abs(unwrap(referenceTemperature(inside)) - Number(celsius))).toBeLessThan(2.5e-5);
    },
  );

  it.each(ratios.values)(
    "Wr and its slope at $celsius °C agree with 40-digit arithmetic",
    ({ celsius, ratio, slopePerKelvin }) => {
      const reference = unwrap(referenceRatio(Number(celsius)));
      // Printed to twelve digits. Between 0 °C and 0.01 °C the printed value is the upper function's; the two differ by less than 1e-8 there.
      expect(Math.abs(reference.ratio - Number(ratio))).toBeLessThan(celsius === "0" ? 1e-8 : 6e-12);
      expect(Math.abs(reference.slope / Number(slopePerKelvin) - 1)).toBeLessThan(2e-6);
    },
  );

  it("are inverted exactly over their whole range", () => {
    for (let step = 0; step <= 4000; step += 1) {
      const temperature = -259.3467 + (961.78 + 259.3467) * (step / 4000);
      const back = unwrap(referenceTemperature(unwrap(referenceRatio(Math.min(temperature, 961.78))).ratio));
      expect(Math.abs(back - temperature)).toBeLessThan(1e-9);
    }
  });

  it("end where they are defined", () => {
    for (const temperature of [-259.35, 961.79, NaN, Infinity]) expect(referenceRatio(temperature).ok).toBe(false);
    for (const ratio of [0, -1, 0.00119, 4.2865, NaN, Infinity]) expect(referenceTemperature(ratio).ok).toBe(false);
  });
});

describe("individually calibrated platinum thermometer", () => {
  const artificialRows = artificial.cases.flatMap((found) =>
    found.points.map((point) => [found.subrange, point.celsius, point.ohm, entry(found)] as const),
  );
  it.each(artificialRows)(
    "subrange %s at %s °C is %s Ω, both ways (artificial thermometer, 40-digit arithmetic)",
    (_, celsius, ohm, coefficients) => {
      const sensor = { ...thermometer(coefficients), rtpw: Number(artificial.rtpw_ohm) };
      const conversion = unwrap(signalOf(sensor, Number(celsius)));
      // The resistances are printed to ten digits: half of the last one is 5e-8 Ω at most.
      expect(Math.abs(conversion.signal - Number(ohm))).toBeLessThan(6e-9);
      expect(Math.abs(unwrap(temperatureOf(sensor, conversion.signal)).temperature - Number(celsius))).toBeLessThan(
        1e-9,
      );
    },
  );

  const allRows = fortyDigits.thermometers.flatMap((found) =>
    found.points.map(([celsius, ratio]) => [found.subrange, celsius, ratio, entry(found)] as const),
  );
  it.each(allRows)(
    "subrange %s at %s °C has W = %s, both ways (40-digit arithmetic)",
    (_, celsius, ratio, coefficients) => {
      const sensor = thermometer(coefficients);
      const conversion = unwrap(signalOf(sensor, Number(celsius)));
      expect(Math.abs(conversion.signal / 100 - Number(ratio))).toBeLessThan(2e-15 + 1e-13 * Number(ratio));
      expect(Math.abs(unwrap(temperatureOf(sensor, conversion.signal)).temperature - Number(celsius))).toBeLessThan(
        1e-9,
      );
      const step = 1e-3;
      const { lower, upper } = unwrap(prepare(sensor)).temperatureRange;
      const inside = Math.min(Math.max(Number(celsius), lower + 2 * step), upper - 2 * step);
      const numeric =
        (unwrap(signalOf(sensor, inside + step)).signal - unwrap(signalOf(sensor, inside - step)).signal) / (2 * step);
      expect(Math.abs(unwrap(signalOf(sensor, inside)).slope / numeric - 1)).toBeLessThan(2e-5);
    },
  );

  it("has the range of its subrange, for all eleven", () => {
    for (const subrange of subranges) {
      const { lower, upper } = unwrap(prepare(thermometer(caseOf(subrange.number)))).temperatureRange;
      expect([lower, upper].map((end) => end.toFixed(4))).toEqual(
        [subrange.lower, subrange.upper].map((end) => end.toFixed(4)),
      );
      expect(codeOf(signalOf(thermometer(caseOf(subrange.number)), upper + 1e-6))).toBe("thermometry.out-of-range");
      expect(codeOf(signalOf(thermometer(caseOf(subrange.number)), lower - 1e-6))).toBe("thermometry.out-of-range");
    }
  });

  it("takes the low entry below 0.01 °C and the high one from there on", () => {
    const both = thermometer(caseOf(7), caseOf(4));
    const low = thermometer(caseOf(4));
    const high = thermometer(caseOf(7));
    for (const temperature of [-189, -20, 0, 0.005, 0.0099999])
      expect(unwrap(signalOf(both, temperature)).signal).toBe(unwrap(signalOf(low, temperature)).signal);
    for (const temperature of [0.01, 0.02, 100, 660])
      expect(unwrap(signalOf(both, temperature)).signal).toBe(unwrap(signalOf(high, temperature)).signal);
    expect(unwrap(signalOf(high, 0)).signal).toBeCloseTo(99.996012, 5);
  });

  it("takes the narrowest of overlapping entries, in whatever order they are given", () => {
    const entries = [caseOf(4), caseOf(5), caseOf(6), caseOf(8)];
    for (const order of [entries, [...entries].reverse()]) {
      const sensor = thermometer(...order);
      for (const [temperature, subrange] of [
        [-100, 4],
        [-20, 5],
        [25, 5],
        [100, 8],
        [419, 8],
        [700, 6],
      ] as const) {
        expect(unwrap(signalOf(sensor, temperature)).signal).toBe(
          unwrap(signalOf(thermometer(caseOf(subrange)), temperature)).signal,
        );
      }
    }
  });

  it("goes there and back to 1e-9 K except in the width of a seam, where entries disagree by microkelvins", () => {
    const sensor = thermometer(caseOf(1), caseOf(5), caseOf(6), caseOf(8));
    const prepared = unwrap(prepare(sensor));
    for (let step = 0; step <= 3000; step += 1) {
      const temperature = Math.min(961.78, prepared.temperatureRange.lower + (961.78 + 259.3467) * (step / 3000));
      const back = unwrap(prepared.temperature(unwrap(prepared.signal(temperature)).signal)).temperature;
      expect(Math.abs(back - temperature)).toBeLessThan(1e-9);
    }
  });

  it("works out W at the aluminium point where the certificate leaves it out", () => {
    const { W_Al: ignored, ...without } = caseOf(6) as DeviationCoefficients & { readonly W_Al: number };
    expect(ignored).toBeCloseTo(3.375299, 6);
    const temperature = 900;
    expect(unwrap(signalOf(thermometer(without), temperature)).signal).toBeCloseTo(
      unwrap(signalOf(thermometer(caseOf(6)), temperature)).signal,
      9,
    );
    expect(unwrap(signalOf(thermometer(without), 600)).signal).toBe(
      unwrap(signalOf(thermometer(caseOf(7)), 600)).signal,
    );
  });

  it("refuses resistances and temperatures out of range, and what is not finite", () => {
    const sensor = thermometer(caseOf(4), caseOf(7));
    for (const resistance of [0, -5, 21, 340, 1e308])
      expect(codeOf(temperatureOf(sensor, resistance))).toBe("thermometry.out-of-range");
    for (const value of [NaN, Infinity]) expect(codeOf(temperatureOf(sensor, value))).toBe("input.invalid");
    const outcome = signalOf(sensor, 700);
    expect(outcome).toMatchObject({ ok: false, fault: { data: { upper: 660.323, unit: "°C" } } });
  });

  it.each([
    ["a resistance of nothing at the triple point", { ...thermometer(caseOf(4)), rtpw: 0 }, /triple point/],
    ["a resistance that is not a number", { ...thermometer(caseOf(4)), rtpw: NaN }, /triple point/],
    ["no entries", thermometer(), /at least one/],
    ["a subrange that is not there", thermometer({ subrange: 12, a: 0 }), /1 to 11/],
    ["a subrange twice", thermometer(caseOf(4), caseOf(4)), /twice/],
    ["a missing coefficient", thermometer({ subrange: 7, a: 0, b: 0 }), /c is missing/],
    ["a coefficient of another subrange", thermometer({ subrange: 10, a: 0, b: 0 }), /has no b/],
    ["a coefficient that is not finite", thermometer({ subrange: 11, a: Infinity }), /not a finite number/],
    ["a slip of the power of ten", thermometer({ subrange: 4, a: -2.4, b: 1.5e-5 }), /do not describe platinum/],
    ["an absurd coefficient", thermometer({ subrange: 7, a: 1e300, b: -1e300, c: 1e308 }), /do not describe platinum/],
  ])("refuses %s", (_, sensor, sentence) => {
    const outcome = temperatureOf(sensor, 100);
    expect(outcome).toMatchObject({
      ok: false,
      fault: { code: "thermometry.invalid", message: expect.stringMatching(sentence) as string },
    });
  });

  it("without deviation is the reference function itself", () => {
    const ideal = thermometer({ subrange: 4, a: 0, b: 0 }, { subrange: 7, a: 0, b: 0, c: 0 });
    for (const temperature of [-180, -1, 50, 600]) {
      expect(unwrap(signalOf(ideal, temperature)).signal).toBeCloseTo(
        100 * unwrap(referenceRatio(temperature)).ratio,
        11,
      );
    }
  });

  it("between 0 °C and 0.01 °C goes by the low subrange, however wide, and by a high one only where it is alone", () => {
    const [low, high] = [caseOf(4), caseOf(11)];
    const at = (temperature: number, ...given: DeviationCoefficients[]): number =>
      unwrap(signalOf(thermometer(...given), temperature)).signal;
    for (const given of [
      [low, high],
      [high, low],
    ]) {
      expect(at(0.005, ...given)).toBe(at(0.005, low));
      expect(at(20, ...given)).toBe(at(20, high));
      expect(at(-20, ...given)).toBe(at(-20, low));
    }
    expect(Math.abs(at(0.005, high) - at(0.005, low))).toBeGreaterThan(0);
    const { signalRange, temperatureRange } = unwrap(prepare(thermometer(low, high)));
    expect(signalRange.lower).toBeCloseTo(at(temperatureRange.lower, low), 9);
    expect(signalRange.upper).toBeCloseTo(at(temperatureRange.upper, high), 9);
  });
});
