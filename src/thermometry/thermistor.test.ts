import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "./convert.ts";
import { prepare } from "./prepare.ts";
import type { ThermistorSensor } from "./sensor.ts";

/** Coefficients of the usual 10 kΩ thermistor: common practice, no source. */
const tenKilohm: ThermistorSensor = {
  kind: "thermistor",
  equation: "steinhart-hart",
  a: 1.129241e-3,
  b: 2.341077e-4,
  c: 8.775468e-8,
};
/** A pure β thermistor, β = 3950 K, 10 kΩ at 25 °C: 1/T = 1/298.15 + ln(R/10⁴)/3950. */
const beta: ThermistorSensor = {
  kind: "thermistor",
  equation: "steinhart-hart",
  a: 1 / 298.15 - Math.log(1e4) / 3950,
  b: 1 / 3950,
  c: 0,
};
const codeOf = (outcome: ReturnType<typeof temperatureOf>): string => (outcome.ok ? "converted" : outcome.fault.code);

describe("Steinhart-Hart", () => {
  // NTC 10 kΩ, β 3950: resistance and slope computed elsewhere, common practice.
  it.each([
    [25, 10_000, 444, 0],
    [100, 697.5, 19.8, 1],
    [150, 199.7, 4.4, 1],
  ])("β thermistor at %s °C: %s Ω, −%s Ω/K", (temperature, ohm, slope, decimals) => {
    const conversion = unwrap(signalOf(beta, temperature));
    expect(Math.abs(conversion.signal - ohm)).toBeLessThan(0.06);
    expect(conversion.slope).toBeCloseTo(-slope, decimals);
  });

  it("solves the cubic both ways to 1e-9 K, with the term in (ln R)² too", () => {
    for (const sensor of [tenKilohm, beta, { ...tenKilohm, d: 2e-7 }]) {
      for (let temperature = -80; temperature <= 250; temperature += 3.7) {
        const { signal, slope } = unwrap(signalOf(sensor, temperature));
        const log = Math.log(signal);
        const inverse = sensor.a + sensor.b * log + sensor.c * log ** 3 + (sensor.d ?? 0) * log ** 2;
        expect(Math.abs(1 / inverse - 273.15 - temperature)).toBeLessThan(1e-9);
        expect(Math.abs(unwrap(temperatureOf(sensor, signal)).temperature - temperature)).toBeLessThan(1e-9);
        const step = 1e-3;
        const numeric =
          (unwrap(signalOf(sensor, temperature + step)).signal - unwrap(signalOf(sensor, temperature - step)).signal) /
          (2 * step);
        expect(Math.abs(slope / numeric - 1)).toBeLessThan(1e-6);
      }
    }
  });

  it("keeps to the stretch around 25 °C where the equation turns round", () => {
    const bent = { ...tenKilohm, c: -2e-7 };
    const { temperatureRange, signalRange } = unwrap(prepare(bent));
    expect(codeOf(signalOf(bent, temperatureRange.lower + 1e-6))).toBe("converted");
    expect(codeOf(signalOf(bent, temperatureRange.lower - 1e-3))).toBe("thermometry.out-of-range");
    expect(codeOf(temperatureOf(bent, signalRange.upper * 1.01))).toBe("thermometry.out-of-range");
    expect(Math.abs(unwrap(temperatureOf(bent, unwrap(signalOf(bent, 40)).signal)).temperature - 40)).toBeLessThan(
      1e-9,
    );
  });

  it("allows a resistance that rises with temperature", () => {
    const rising: ThermistorSensor = { ...beta, a: 1 / 298.15 + Math.log(1e3) / 2000, b: -1 / 2000 };
    const { signal, slope } = unwrap(signalOf(rising, 60));
    expect(signal).toBeGreaterThan(1000);
    expect(slope).toBeGreaterThan(0);
    expect(unwrap(temperatureOf(rising, signal)).temperature).toBeCloseTo(60, 9);
  });

  it("refuses resistances and temperatures that no thermistor has", () => {
    for (const resistance of [0, -1, 1e-4, 1e13])
      expect(codeOf(temperatureOf(tenKilohm, resistance))).toBe("thermometry.out-of-range");
    for (const temperature of [-201, 601, -300])
      expect(codeOf(signalOf(tenKilohm, temperature))).toBe("thermometry.out-of-range");
    for (const value of [NaN, -Infinity]) expect(codeOf(signalOf(tenKilohm, value))).toBe("input.invalid");
  });

  it.each([
    ["all zero", { a: 0, b: 0, c: 0 }],
    ["not a number", { b: NaN }],
    ["absurdly large", { c: 1e308 }],
    ["without slope", { b: 0, c: 0 }],
    ["of the common logarithm by a factor", { a: 5 }],
  ])("refuses coefficients %s", (_, change) => {
    expect(codeOf(temperatureOf({ ...tenKilohm, ...change }, 10_000))).toBe("thermometry.invalid");
  });
});
