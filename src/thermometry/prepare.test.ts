import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalsOf, temperatureOf, temperaturesOf } from "./convert.ts";
import { conversionStatus } from "./conversion.ts";
import { prepare } from "./prepare.ts";
import type { Sensor } from "./sensor.ts";

const typeK: Sensor = { kind: "thermocouple", type: "K" };
const room = (length: number) => ({
  values: new Float64Array(length),
  statuses: new Uint8Array(length),
  slopes: new Float64Array(length),
});

describe("arrays", () => {
  it("hold what the scalar forms give, element by element", () => {
    const prepared = unwrap(prepare(typeK));
    const temperatures = Float64Array.from({ length: 1643 }, (_, index) => index - 270);
    const there = room(temperatures.length);
    const back = room(temperatures.length);
    expect(signalsOf(typeK, temperatures, there, { coldJunction: 21.5 })).toBe(0);
    expect(temperaturesOf(typeK, there.values, back, { coldJunction: 21.5 })).toBe(0);
    temperatures.forEach((temperature, index) => {
      const scalar = unwrap(prepared.signal(temperature, { coldJunction: 21.5 }));
      expect(there.values[index]).toBe(scalar.signal);
      expect(there.slopes[index]).toBe(scalar.slope);
      const again = unwrap(prepared.temperature(scalar.signal, { coldJunction: 21.5 }));
      expect([back.values[index], back.slopes[index]]).toEqual([again.temperature, again.slope]);
    });
  });

  it("take a reference junction per element", () => {
    const junctions = Float64Array.of(0, 20, 30, NaN);
    const into = room(4);
    expect(temperaturesOf(typeK, Float64Array.of(5, 5, 5, 5), into, { coldJunction: junctions })).toBe(1);
    for (const index of [0, 1, 2]) {
      expect(into.values[index]).toBe(unwrap(temperatureOf(typeK, 5, { coldJunction: junctions[index]! })).temperature);
    }
    expect(into.statuses[3]).toBe(conversionStatus.outOfRange);
  });

  it("mark what could not be converted, and leave no number there", () => {
    const loop = room(5);
    expect(temperaturesOf({ kind: "loop", lower: 0, upper: 100 }, Float64Array.of(12, 3.5, 3.7, NaN, 22), loop)).toBe(
      4,
    );
    expect([...loop.statuses]).toEqual([
      conversionStatus.converted,
      conversionStatus.failureSignal,
      conversionStatus.outOfRange,
      conversionStatus.notFinite,
      conversionStatus.failureSignal,
    ]);
    expect([...loop.values]).toEqual([50, NaN, NaN, NaN, NaN]);
    expect([...loop.slopes]).toEqual([0.16, NaN, NaN, NaN, NaN]);
    const typeB = room(2);
    expect(temperaturesOf({ kind: "thermocouple", type: "B" }, Float64Array.of(-0.001, 5), typeB)).toBe(1);
    expect([...typeB.statuses]).toEqual([conversionStatus.ambiguous, conversionStatus.converted]);
    const outside = room(3);
    expect(signalsOf(typeK, Float64Array.of(-271, Infinity, 0), outside)).toBe(2);
    expect([...outside.statuses]).toEqual([
      conversionStatus.outOfRange,
      conversionStatus.notFinite,
      conversionStatus.converted,
    ]);
  });

  it("need no slopes, and refuse to write past an end", () => {
    const { values, statuses } = room(1);
    expect(temperaturesOf(typeK, Float64Array.of(1), { values, statuses })).toBe(0);
    expect(() => temperaturesOf(typeK, Float64Array.of(1, 2), { values, statuses })).toThrow(RangeError);
    expect(() =>
      signalsOf(typeK, Float64Array.of(1), { values, statuses }, { coldJunction: new Float64Array(0) }),
    ).toThrow(RangeError);
    expect(() =>
      temperaturesOf({ kind: "loop", lower: 0, upper: 0 }, Float64Array.of(1), { values, statuses }),
    ).toThrow(/two different temperatures/);
  });
});

describe("prepared sensor", () => {
  it("says its unit and ranges", () => {
    const unit = (sensor: Sensor): string => unwrap(prepare(sensor)).signalUnit;
    expect(unit(typeK)).toBe("mV");
    expect(unit({ kind: "loop", lower: 0, upper: 1 })).toBe("mA");
    expect(unit({ kind: "indication" })).toBe("°C");
    expect(unit({ kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: 0 })).toBe(
      "Ω",
    );
    expect(unwrap(prepare(typeK)).temperatureRange).toEqual({ lower: -270, upper: 1372 });
    expect(unwrap(prepare(typeK)).signalRange.upper).toBeCloseTo(54.886, 3);
  });

  it("refuses a kind that it does not know", () => {
    const outcome = prepare({ kind: "crystal" } as unknown as Sensor);
    expect(outcome).toMatchObject({ ok: false, fault: { code: "thermometry.unsupported" } });
  });
});
