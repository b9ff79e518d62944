import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "#thermometry";
import { inventedJob, resistor, thermocouple } from "../evaluate/invented-run.test-support.ts";
import { jobConverter } from "./converter.ts";

const typeK = { kind: "thermocouple", type: "K" } as const;
const iced = { ...thermocouple, id: "item-ice", channel: "item-2", coldJunction: { kind: "ice-point" as const } };

describe("signals of a job as temperatures", () => {
  const job = inventedJob({ items: [thermocouple, iced, { ...resistor, channel: "item-3" }] });
  const converter = jobConverter(job);

  it("by the sensor of the reference and of each item", () => {
    const ohm = unwrap(signalOf(job.kit.reference.sensor, 87.5)).signal;
    expect(unwrap(converter.reference(ohm))).toBeCloseTo(87.5, 9);
    // IEC 60751: 138.5055 Ω at 100 °C.
    expect(unwrap(converter.item("item-pt", 138.5055))).toBeCloseTo(100, 4);
    // IEC 60584-1: 4.096 mV at 100 °C, with an ice point.
    expect(unwrap(converter.item("item-ice", 4.096))).toBeCloseTo(100, 1);
  });

  it("of a thermocouple whose reference junction is read, from there; of one in ice, from 0 °C", () => {
    const { signal } = unwrap(signalOf(typeK, 250, { coldJunction: 23 }));
    expect(unwrap(converter.item("item-k", signal, 23))).toBeCloseTo(250, 9);
    expect(unwrap(converter.item("item-ice", signal, 23))).toBe(unwrap(temperatureOf(typeK, signal)).temperature);
  });

  it("not without the reading of the junction, and not beyond a sensor's range", () => {
    expect(converter.item("item-k", 4)).toMatchObject({
      ok: false,
      fault: { code: "signal.out-of-range", message: expect.stringContaining("TT-101") as string },
    });
    expect(converter.item("item-pt", 1e4)).toMatchObject({ ok: false, fault: { code: "thermometry.out-of-range" } });
    expect(converter.item("item-9", 4)).toMatchObject({ ok: false, fault: { code: "internal" } });
  });
});
