import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "./convert.ts";
import { prepare } from "./prepare.ts";
import type { LoopSensor } from "./sensor.ts";

const transmitter: LoopSensor = { kind: "loop", lower: -50, upper: 150 };
const codeOf = (outcome: ReturnType<typeof temperatureOf>): string => (outcome.ok ? "converted" : outcome.fault.code);

describe("loop", () => {
  it("is a straight line, 4 to 20 mA where nothing is said", () => {
    expect(unwrap(temperatureOf(transmitter, 12))).toEqual({ temperature: 50, signal: 12, slope: 0.08 });
    expect(unwrap(temperatureOf(transmitter, 4)).temperature).toBe(-50);
    expect(unwrap(temperatureOf(transmitter, 20)).temperature).toBe(150);
    expect(unwrap(signalOf(transmitter, 50)).signal).toBe(12);
    // 200 K of span: 12.5 mK for each µA (computed, common practice).
    expect(1 / unwrap(signalOf(transmitter, 0)).slope / 1000).toBeCloseTo(0.0125, 15);
  });

  it.each([
    [3.6, "loop.failure-signal"],
    [3.599, "loop.failure-signal"],
    [0, "loop.failure-signal"],
    [-4, "loop.failure-signal"],
    [3.601, "thermometry.out-of-range"],
    [3.7999, "thermometry.out-of-range"],
    [3.8, "converted"],
    [3.9, "converted"],
    [20.5, "converted"],
    [20.5001, "thermometry.out-of-range"],
    [20.999, "thermometry.out-of-range"],
    [21, "loop.failure-signal"],
    [22.5, "loop.failure-signal"],
  ])("%s mA is %s (NAMUR NE 43)", (current, code) => {
    expect(codeOf(temperatureOf(transmitter, current))).toBe(code);
    expect(codeOf(temperatureOf({ ...transmitter, current: [20, 4] }, current))).toBe(code);
  });

  it("says what a failure signal asks for", () => {
    const outcome = temperatureOf(transmitter, 3.5);
    expect(outcome.ok || outcome.fault.message).toMatch(
      /^3\.5 mA is a failure signal \(NAMUR NE 43: 3\.6 mA or less, 21 mA or more\)\..*check the sensor/,
    );
  });

  it("may run backwards, by temperatures or by currents", () => {
    expect(unwrap(temperatureOf({ ...transmitter, lower: 150, upper: -50 }, 8))).toEqual({
      temperature: 100,
      signal: 8,
      slope: -0.08,
    });
    expect(unwrap(temperatureOf({ ...transmitter, current: [20, 4] }, 8))).toEqual({
      temperature: 100,
      signal: 8,
      slope: -0.08,
    });
    expect(unwrap(prepare({ ...transmitter, current: [20, 4] })).temperatureRange.upper).toBeCloseTo(152.5, 12);
  });

  it("with another current span has the same shares beyond its ends and no failure levels", () => {
    const zeroToTwenty: LoopSensor = { ...transmitter, current: [0, 20] };
    expect(unwrap(temperatureOf(zeroToTwenty, 0)).temperature).toBe(-50);
    expect(unwrap(temperatureOf(zeroToTwenty, 3)).temperature).toBe(-20);
    expect(unwrap(prepare(zeroToTwenty)).signalRange).toEqual({ lower: -0.25, upper: 20.625 });
    expect(unwrap(prepare({ ...transmitter, current: [10, 50] })).signalRange).toEqual({ lower: 9.5, upper: 51.25 });
    const fourTo: LoopSensor = { ...transmitter, current: [4, 24] };
    expect(unwrap(temperatureOf(fourTo, 22)).temperature).toBeCloseTo(130, 12);
    expect(unwrap(prepare(fourTo)).signalRange.lower).toBeCloseTo(3.75, 12);
    for (const current of [-0.26, 20.63])
      expect(codeOf(temperatureOf(zeroToTwenty, current))).toBe("thermometry.out-of-range");
  });

  it("refuses temperatures whose current would leave the measuring range", () => {
    expect(codeOf(signalOf(transmitter, 156.25))).toBe("converted");
    expect(codeOf(signalOf(transmitter, 156.26))).toBe("thermometry.out-of-range");
    expect(codeOf(signalOf(transmitter, -52.5))).toBe("converted");
    expect(codeOf(signalOf(transmitter, -52.51))).toBe("thermometry.out-of-range");
    expect(codeOf(temperatureOf(transmitter, NaN))).toBe("input.invalid");
  });

  it.each([
    ["no temperature span", { lower: 10, upper: 10 }],
    ["no current span", { current: [4, 4] as const }],
    ["an end that is not a number", { upper: NaN }],
    ["a span beyond all doubles", { lower: 0, upper: 1.7e308, current: [4, 4.000000001] as const }],
    ["an end below absolute zero", { lower: -300 }],
    ["an upper end below absolute zero", { lower: 0, upper: -273.16 }],
    ["a first end that is not a number", { lower: NaN }],
    ["an infinite current", { current: [4, Infinity] as const }],
  ])("refuses %s", (_, change) => {
    const sensor = { ...transmitter, ...change };
    const { lower, upper, current = [4, 20] } = sensor;
    expect(temperatureOf(sensor, 12)).toMatchObject({
      ok: false,
      fault: { code: "thermometry.invalid", data: { lower, upper, current } },
    });
  });

  it("may begin or end at absolute zero", () => {
    for (const change of [{ lower: -273.15 }, { lower: 100, upper: -273.15 }])
      expect(codeOf(temperatureOf({ ...transmitter, ...change }, 12))).toBe("converted");
  });

  it("refuses an inner sensor that cannot be", () => {
    const inner = { kind: "platinum", equation: "callendar-van-dusen", r0: -1, a: 0, b: 0, c: 0 } as const;
    expect(codeOf(temperatureOf({ ...transmitter, inner }, 12))).toBe("thermometry.invalid");
    expect(codeOf(temperatureOf({ ...transmitter, inner: { kind: "thermocouple", type: "K" } }, 12))).toBe("converted");
  });
});

describe("indication", () => {
  it("is the temperature itself", () => {
    expect(unwrap(temperatureOf({ kind: "indication" }, 21.5))).toEqual({ temperature: 21.5, signal: 21.5, slope: 1 });
    expect(unwrap(signalOf({ kind: "indication" }, -40))).toEqual({ temperature: -40, signal: -40, slope: 1 });
    for (const value of [-273.16, 1e7])
      expect(codeOf(temperatureOf({ kind: "indication" }, value))).toBe("thermometry.out-of-range");
    expect(codeOf(temperatureOf({ kind: "indication" }, NaN))).toBe("input.invalid");
  });
});
