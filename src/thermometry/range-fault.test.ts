import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "./convert.ts";
import type { Sensor } from "./sensor.ts";

const type = (letter: "B" | "K"): Sensor => ({ kind: "thermocouple", type: letter });

describe("what a refusal says", () => {
  // IEC 60584-1: type K goes from −6.4577 mV to 54.8864 mV; 25 °C are 1.0002 mV.
  it("the signals of a thermocouple, from its reference junction on", () => {
    expect(temperatureOf(type("K"), 60, { coldJunction: 25 })).toMatchObject({
      ok: false,
      fault: {
        code: "thermometry.out-of-range",
        data: {
          quantity: "signal",
          value: 60,
          lower: expect.closeTo(-6.4577 - 1.0002, 3) as number,
          upper: expect.closeTo(54.8864 - 1.0002, 3) as number,
          unit: "mV",
        },
      },
    });
  });

  it("both temperatures of an ambiguous signal, from the reference junction on", () => {
    // Type B falls to its least emf near 21 °C: 0 mV against a junction at 10 °C is 10 °C or about 32 °C.
    const outcome = temperatureOf(type("B"), 0, { coldJunction: 10 });
    const junction = unwrap(signalOf(type("B"), 10)).signal;
    expect(junction).toBeLessThan(0);
    const data = outcome.ok ? {} : outcome.fault.data!;
    const [low, high] = data["candidates"] as [number, number];
    expect(low).toBeCloseTo(10, 6);
    expect(unwrap(signalOf(type("B"), high)).signal).toBeCloseTo(junction, 12);
    expect(high).toBeGreaterThan(30);
  });

  it("the levels of a failure signal, and what was no number", () => {
    expect(temperatureOf({ kind: "loop", lower: 0, upper: 100 }, 22)).toMatchObject({
      fault: { data: { quantity: "signal", value: 22, unit: "mA", atOrBelow: 3.6, atOrAbove: 21 } },
    });
    expect(temperatureOf(type("K"), Number.NaN)).toMatchObject({
      fault: { data: { quantity: "signal", value: "NaN" } },
    });
    expect(signalOf(type("K"), Number.POSITIVE_INFINITY)).toMatchObject({
      fault: { data: { quantity: "temperature", value: "Infinity" } },
    });
  });
});
