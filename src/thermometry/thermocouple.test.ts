import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "./convert.ts";
import { prepare } from "./prepare.ts";
import { thermocoupleTypes, type Sensor, type ThermocoupleType } from "./sensor.ts";

const fixture = (name: string): string =>
  readFileSync(new URL(`../../test/fixtures/thermometry/${name}`, import.meta.url), "utf8");

const published = fixture("thermocouple-emf.csv")
  .split("\n")
  .filter((line) => line !== "" && !line.startsWith("#") && !line.startsWith("type,"))
  .map((line) => line.split(",") as [ThermocoupleType, string, string]);
const fortyDigits = JSON.parse(fixture("forty-digits.json")) as {
  readonly thermocouples: readonly (readonly [ThermocoupleType, string, string, string])[];
};

const couple = (type: ThermocoupleType, deviation?: readonly number[]): Sensor =>
  deviation === undefined ? { kind: "thermocouple", type } : { kind: "thermocouple", type, deviation };
const emf = (type: ThermocoupleType, temperature: number): number => unwrap(signalOf(couple(type), temperature)).signal;
const codeOf = (outcome: ReturnType<typeof temperatureOf>): string => (outcome.ok ? "converted" : outcome.fault.code);

describe("thermocouple emf", () => {
  it.each(published)("type %s at %s °C is %s mV within the rounding of NIST SRD 60", (type, temperature, printed) => {
    expect(Math.abs(emf(type, Number(temperature)) - Number(printed))).toBeLessThanOrEqual(0.0005);
  });

  it.each([
    ["C", 0, 0],
    ["C", 2315, 37.07],
    ["A", 0, 0.001],
    ["A", 2500, 33.64],
  ] as const)("type %s at %s °C is %s mV (range ends, ASTM E230 and GOST R 8.585)", (type, temperature, printed) => {
    expect(Math.abs(emf(type, temperature) - printed)).toBeLessThanOrEqual(0.0005);
  });

  it.each(fortyDigits.thermocouples)(
    "type %s at %s °C agrees with 40-digit arithmetic, slope too",
    (type, temperature, expected, slope) => {
      const conversion = unwrap(signalOf(couple(type), Number(temperature)));
      expect(Math.abs(conversion.signal - Number(expected))).toBeLessThan(1e-13);
      expect(Math.abs(conversion.slope - Number(slope))).toBeLessThan(1e-12 + 1e-10 * Math.abs(Number(slope)));
      expect(conversion.temperature).toBe(Number(temperature));
    },
  );

  it("is exactly 0 mV at 0 °C for all types but A", () => {
    for (const type of thermocoupleTypes) expect(emf(type, 0)).toBe(type === "A" ? 7.1564735e-4 : 0);
  });

  // Slopes in µV/K: computed from the published functions by another program, common practice.
  it.each([
    ["K", 25, 40.52],
    ["K", 400, 42.24],
    ["K", 1000, 38.98],
    ["N", 500, 38.27],
    ["J", 800, 64.63],
    ["T", 300, 58.09],
    ["E", -100, 45.17],
    ["R", 1000, 13.23],
    ["S", 600, 10.21],
    ["B", 1000, 9.12],
    ["B", 25, 0.05],
  ] as const)("type %s at %s °C has %s µV/K", (type, temperature, microvolts) => {
    expect(unwrap(signalOf(couple(type), temperature)).slope * 1000).toBeCloseTo(microvolts, 1);
  });
});

describe("thermocouple temperature", () => {
  const monotonic = published.filter(([type, temperature]) => !(type === "B" && Number(temperature) < 100));
  it.each(monotonic)("type %s: the emf of %s °C gives it back to 1e-9 K", (type, temperature) => {
    const there = emf(type, Number(temperature));
    expect(Math.abs(unwrap(temperatureOf(couple(type), there)).temperature - Number(temperature))).toBeLessThan(1e-9);
  });

  it("gives 41.276 mV as 1000 °C on type K and 9.587 mV as 1000 °C on type S within the table's rounding", () => {
    expect(Math.abs(unwrap(temperatureOf(couple("K"), 41.276)).temperature - 1000)).toBeLessThan(0.0005 / 0.0389);
    expect(Math.abs(unwrap(temperatureOf(couple("S"), 9.587)).temperature - 1000)).toBeLessThan(0.0005 / 0.0115);
  });

  it("says of type B's start that a signal belongs to two temperatures, and which", () => {
    for (const signal of [0, -0.001, -0.0025]) {
      const outcome = temperatureOf(couple("B"), signal);
      expect(outcome).toMatchObject({ ok: false, fault: { code: "thermometry.ambiguous" } });
      const candidates = outcome.ok ? [] : (outcome.fault.data!["candidates"] as number[]);
      expect(candidates).toHaveLength(2);
      for (const candidate of candidates) expect(Math.abs(emf("B", candidate) - signal)).toBeLessThan(1e-14);
      expect(outcome.ok || outcome.fault.message).toMatch(/more than one temperature of type B: .* °C and .* °C/);
    }
    expect(codeOf(temperatureOf(couple("B"), -0.0026))).toBe("thermometry.out-of-range");
    const above = unwrap(temperatureOf(couple("B"), 1e-9));
    expect(above.temperature).toBeGreaterThan(42);
    expect(emf("B", above.temperature)).toBeCloseTo(1e-9, 15);
  });

  it("converts every type at both ends and refuses the next double beyond", () => {
    for (const type of thermocoupleTypes.filter((name) => name !== "B")) {
      const { lower, upper } = unwrap(prepare(couple(type))).temperatureRange;
      for (const [end, beyond] of [
        [lower, -1e-6],
        [upper, 1e-6],
      ] as const) {
        expect(Math.abs(unwrap(temperatureOf(couple(type), emf(type, end))).temperature - end)).toBeLessThan(1e-9);
        expect(codeOf(signalOf(couple(type), end + beyond))).toBe("thermometry.out-of-range");
        expect(codeOf(temperatureOf(couple(type), emf(type, end) + Math.sign(beyond) * 1e-6))).toBe(
          "thermometry.out-of-range",
        );
      }
    }
  });

  it("names the range and what to do when a signal is outside", () => {
    const outcome = temperatureOf(couple("K"), 60);
    expect(outcome).toMatchObject({ ok: false, fault: { data: { quantity: "signal", value: 60, unit: "mV" } } });
    expect(outcome.ok || outcome.fault.message).toBe(
      "60 mV is not a signal of type K, which gives -6.457738 mV to 54.88636 mV from -270 °C to 1372 °C. Check connections, polarity, range and the sensor's type.",
    );
  });

  it("refuses what is not a finite number", () => {
    for (const value of [NaN, Infinity, -Infinity]) {
      expect(codeOf(temperatureOf(couple("K"), value))).toBe("input.invalid");
      expect(codeOf(signalOf(couple("K"), value))).toBe("input.invalid");
      expect(codeOf(temperatureOf(couple("K"), 1, { coldJunction: value }))).toBe("thermometry.out-of-range");
    }
    for (const value of [1e308, -1e308])
      expect(codeOf(temperatureOf(couple("K"), value))).toBe("thermometry.out-of-range");
    expect(unwrap(temperatureOf(couple("K"), -0)).temperature).toBe(0);
  });
});

describe("reference junction", () => {
  it("adds emf, not temperature: E(t) = V + E(t_cj)", () => {
    const measured = emf("K", 400) - emf("K", 23.4);
    expect(unwrap(temperatureOf(couple("K"), measured, { coldJunction: 23.4 })).temperature).toBeCloseTo(400, 9);
    expect(unwrap(signalOf(couple("K"), 400, { coldJunction: 23.4 })).signal).toBeCloseTo(measured, 14);
    expect(unwrap(temperatureOf(couple("K"), 0, { coldJunction: 23.4 })).temperature).toBeCloseTo(23.4, 9);
  });

  // Reversed leads, reference junction at 25 °C, type K: shown temperatures computed elsewhere, common practice.
  it.each([
    [50, -0.6],
    [100, -56],
    [200, -218],
  ])("shows a reversed type K at %s °C as %s °C", (temperature, shown) => {
    const reversed = -unwrap(signalOf(couple("K"), temperature, { coldJunction: 25 })).signal;
    expect(unwrap(temperatureOf(couple("K"), reversed, { coldJunction: 25 })).temperature).toBeCloseTo(
      shown,
      shown > -1 ? 1 : 0,
    );
  });

  // A wrong type set, reference junction at 25 °C: computed elsewhere, common practice.
  it.each([
    ["K", "J", 300, 230.7],
    ["J", "K", 600, 789.0],
    ["K", "N", 300, 370.0],
    ["K", "T", 100, 95.9],
    ["K", "S", 300, 1150],
    ["R", "S", 600, 633.8],
    ["E", "K", 300, 497.6],
  ] as const)("type %s read as %s at %s °C shows %s °C", (real, set, temperature, shown) => {
    const signal = unwrap(signalOf(couple(real), temperature, { coldJunction: 25 })).signal;
    expect(Math.abs(unwrap(temperatureOf(couple(set), signal, { coldJunction: 25 })).temperature - shown)).toBeLessThan(
      shown > 1000 ? 0.6 : 0.06,
    );
  });

  it("must itself lie in the range of the type", () => {
    for (const coldJunction of [-271, 1400]) {
      const outcome = temperatureOf(couple("K"), 1, { coldJunction });
      expect(outcome).toMatchObject({
        ok: false,
        fault: { code: "thermometry.out-of-range", data: { quantity: "coldJunction" } },
      });
    }
  });

  it("at 0 °C leaves the emf as it is, for type A and a deviation with a constant too", () => {
    expect(unwrap(signalOf(couple("A"), 0, { coldJunction: 0 })).signal).toBe(7.1564735e-4);
    expect(unwrap(signalOf(couple("A"), 1000, { coldJunction: 1000 })).signal).toBeCloseTo(7.1564735e-4, 14);
    expect(unwrap(signalOf(couple("K", [0.01]), 500)).signal).toBeCloseTo(emf("K", 500) + 0.01, 13);
  });
});

describe("deviation polynomial", () => {
  const deviation = [0.002, -3e-5, 4.5e-8, -1e-11];
  const added = (t: number): number => deviation.reduce((sum, d, power) => sum + d * t ** power, 0);

  it("is added to the reference function over the whole range, and inverted with it", () => {
    for (const temperature of [-269.9, -200, -149, -3, 0, 5, 700, 1371.9]) {
      const { signal, slope } = unwrap(signalOf(couple("K", deviation), temperature));
      expect(signal).toBeCloseTo(emf("K", temperature) + added(temperature), 12);
      expect(Math.abs(unwrap(temperatureOf(couple("K", deviation), signal)).temperature - temperature)).toBeLessThan(
        1e-9,
      );
      expect(slope).toBeCloseTo(
        unwrap(signalOf(couple("K"), temperature)).slope +
          deviation[1]! +
          2 * deviation[2]! * temperature +
          3 * deviation[3]! * temperature ** 2,
        12,
      );
    }
  });

  it("of zeros changes nothing", () => {
    expect(unwrap(signalOf(couple("N", [0, 0]), 321)).signal).toBe(emf("N", 321));
    expect(unwrap(signalOf(couple("N", []), 321)).signal).toBe(emf("N", 321));
  });

  it("that makes a signal double-valued is answered honestly", () => {
    const bent = couple("K", [0, 0, 0, -1e-8]);
    const top = unwrap(prepare(bent)).signalRange.upper;
    expect(codeOf(temperatureOf(bent, top - 0.01))).toBe("thermometry.ambiguous");
    expect(codeOf(temperatureOf(bent, top + 0.01))).toBe("thermometry.out-of-range");
    expect(codeOf(temperatureOf(bent, 4))).toBe("converted");
  });

  it.each([
    ["that is not finite", [NaN]],
    ["that is absurdly large", [0, 1e308, 1e308]],
    ["that turns the wires round", [0, -0.1]],
    ["that is longer than any certificate's", Array.from({ length: 17 }, () => 1e-9)],
  ])("%s is refused", (_, coefficients) => {
    expect(codeOf(temperatureOf(couple("K", coefficients), 1))).toBe("thermometry.invalid");
  });
});

it("an unknown type is refused", () => {
  expect(codeOf(temperatureOf({ kind: "thermocouple", type: "Z" as ThermocoupleType }, 1))).toBe(
    "thermometry.unsupported",
  );
});
