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

  /** d(1/T)/d ln R = size·(L − first)·(L − second), and 25 °C at the resistance `room`. */
  const turning = (size: number, first: number, second: number, room: number): ThermistorSensor => {
    const [b, c, d] = [size * first * second, size / 3, (-size * (first + second)) / 2];
    const log = Math.log(room);
    return { kind: "thermistor", equation: "steinhart-hart", a: 1 / 298.15 - log * (b + log * (d + log * c)), b, c, d };
  };
  const endsOf = (sensor: ThermistorSensor): readonly number[] => {
    const { lower, upper } = unwrap(prepare(sensor)).signalRange;
    return [Math.log(lower), Math.log(upper)];
  };

  it.each([
    ["between two turning points", turning(-1e-5, 4, 14, 1e4), 4, 14],
    ["between two at small resistances", turning(-1e-5, -6, 3, 0.3), -6, 3],
    ["between two that cancel", turning(-1e-5, -5, 5, 1), -5, 5],
  ])("ends at its turning points: %s", (_, sensor, lower, upper) => {
    const ends = endsOf(sensor);
    expect(ends[0]).toBeCloseTo(lower, 9);
    expect(ends[1]).toBeCloseTo(upper, 9);
  });

  it.each([
    ["above the larger of two", turning(1e-6, -3, 5, 1e4), 5],
    ["above the larger of two, both negative", turning(1e-6, -6, -2, 1e3), -2],
    [
      "above the only one",
      { ...turning(0, 0, 0, 1), a: 1 / 298.15 - 16e-5, b: -4e-5, c: 0, d: 1e-5 } as ThermistorSensor,
      2,
    ],
  ])("begins at a turning point: %s", (_, sensor, lower) => {
    expect(endsOf(sensor)[0]).toBeCloseTo(lower, 9);
  });

  it("takes the falling stretch where a rising one reaches 25 °C, too", () => {
    // 25 °C at L = 0 and, beyond the turning point at 5, at L = 10; below it the resistance rises with temperature.
    const sensor: ThermistorSensor = { ...beta, a: 1 / 298.15, b: -2e-4, c: 0, d: 2e-5 };
    expect(endsOf(sensor)[0]).toBeCloseTo(5, 9);
    expect(unwrap(temperatureOf(sensor, Math.exp(10))).temperature).toBeCloseTo(25, 9);
    expect(unwrap(signalOf(sensor, 25)).slope).toBeLessThan(0);
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
    ["with an infinite first one", { a: Infinity }],
    ["with a fourth that is not a number", { d: NaN }],
    ["of the common logarithm by a factor", { a: 5 }],
  ])("refuses coefficients %s", (_, change) => {
    const sensor = { ...tenKilohm, ...change };
    const outcome = temperatureOf(sensor, 10_000);
    expect(codeOf(outcome)).toBe("thermometry.invalid");
    const { a, b, c } = sensor;
    expect(outcome).toMatchObject({ ok: false, fault: { data: { a, b, c } } });
  });
});
