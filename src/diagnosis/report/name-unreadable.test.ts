import { describe, expect, it } from "vitest";
import type { Item, Job } from "#calibration";
import { temperatureOf } from "#thermometry";
import { nameUnreadable } from "#diagnosis";
import { gives, platinum, typeOf } from "../invented-points.test-support.ts";

const job = { conditions: { ambientTemperature: { value: 22, halfWidth: 2 } } } as Job;
const itemOf = (sensor: Item["sensor"]): Item =>
  ({
    id: "item",
    tag: "TT-204",
    sensor,
    unit: "Ω",
    tolerance: { kelvin: 1 },
    limits: { minimum: -50, maximum: 400 },
    contributions: {},
  }) as Item;

const named = (sensor: Item["sensor"], signal: number, reference: number | null) => {
  const converted = temperatureOf(sensor, signal, { coldJunction: 25 });
  if (converted.ok) throw new Error("expected a fault");
  return nameUnreadable(job, { item: itemOf(sensor), fault: converted.fault, signal, reference, junction: 25 });
};

describe("a signal without a temperature, beside the reference [D23]", () => {
  it("a Pt1000 for a Pt100, from one reading at room temperature", () => {
    const finding = named(platinum(100) as Item["sensor"], gives(platinum(1000), 24), 23);
    expect(finding.code).toBe("signal.out-of-range");
    expect(finding.message).toContain("TT-204 has an element of 1000 Ω at 0 °C where 100 Ω at 0 °C is expected");
    expect(finding.confidence).toBeGreaterThan(0.6);
  });

  it("a reversed thermocouple at 300 °C", () => {
    const finding = named(typeOf("K") as Item["sensor"], -gives(typeOf("K"), 300), 300);
    expect(finding.message).toContain("the two wires of TT-204 are exchanged");
  });

  it("says no more than the signal itself where the reference is not known, or nothing explains it", () => {
    const plain = named(platinum(100) as Item["sensor"], 5000, null);
    expect(plain.message).not.toContain("Two-minute test");
    expect(named(platinum(100) as Item["sensor"], 3100, 40).message).not.toContain("Two-minute test");
  });
});
