import { describe, expect, it } from "vitest";
import { temperatureOf } from "#thermometry";
import { plantOf, typeK, valueOf } from "./plant.test-support.ts";
import type { SimulatedFaultInput, SimulationInput } from "./simulation.ts";

/** A perfect bench whose block stands at a temperature, the reference junction at 25 °C. */
const standingAt = (temperature: number, faults: SimulatedFaultInput[], more: SimulationInput = {}) => {
  const plant = plantOf({
    hidden: "none",
    source: { class: "furnace", start: temperature, controlOffset: 0, oscillation: 0, unsteadiness: 0 },
    junction: { above: 2, wander: 0 },
    items: { "item-1": { deviation: {}, noise: 0 } },
    readout: { noise: { Ω: 1e-9, mV: 1e-9, "°C": 1e-9 }, flicker: 0 },
    faults,
    ...more,
  });
  plant.setPoint(temperature);
  plant.switchOutput(true);
  plant.advanceTo(1800);
  return plant;
};

const shown = (plant: ReturnType<typeof plantOf>, sensor = typeK): number => {
  const converted = temperatureOf(sensor, valueOf(plant.read("item-1")), { coldJunction: 25 });
  return converted.ok ? converted.value.temperature : Number.NaN;
};

// Computed with the published functions for a junction at 25 °C: what a reversed type K shows.
it.each([
  [30, 20],
  [50, -0.6],
  [100, -56],
])("reversed, a type K at %s °C shows %s °C", (temperature, expected) => {
  const plant = standingAt(temperature, [{ kind: "reversed", channel: "item-1" }]);
  expect(Math.abs(shown(plant) - expected)).toBeLessThan(0.6);
});

it.each([
  ["J", 100, 83.5, 121.8],
  ["N", 300, 370, 238.4],
] as const)("a type %s in place of a type K at %s °C shows the wrong-type figure", (type, temperature, _, expected) => {
  const plant = standingAt(temperature, [
    { kind: "wrong-type", channel: "item-1", sensor: { kind: "thermocouple", type } },
  ]);
  expect(Math.abs(shown(plant) - expected)).toBeLessThan(0.2);
});

it("a lead of 1 Ω in a two-wire circuit adds 2.56 K at 0 °C", () => {
  const plant = standingAt(0, [{ kind: "lead-resistance", channel: "reference", ohm: 1 }], {
    source: { class: "bath", start: 0, controlOffset: 0, oscillation: 0, unsteadiness: 0 },
  });
  const converted = temperatureOf(plant.plan.reference.sensor, valueOf(plant.read("reference")));
  expect(converted.ok && converted.value.temperature).toBeCloseTo(2.56, 2);
});

describe("the other faults", () => {
  it("open circuit is beyond what can be measured; a broken loop carries no current", () => {
    const plant = standingAt(100, [{ kind: "open-circuit", channel: "item-1", at: 1700, until: 1900 }]);
    expect(plant.read("item-1")).toEqual({ kind: "beyond", sign: 1 });
    expect(plant.read("reference").kind).toBe("value");
    plant.advanceTo(1900);
    expect(plant.read("item-1").kind).toBe("value");
  });

  it("drift grows with time on its channel alone", () => {
    const plant = standingAt(100, [{ kind: "drift", channel: "item-1", at: 1800, kelvinPerHour: 2 }]);
    const [item, reference] = [shown(plant), valueOf(plant.read("reference"))];
    plant.advanceTo(1800 + 900);
    expect(shown(plant) - item).toBeCloseTo(0.5, 1);
    expect(valueOf(plant.read("reference"))).toBeCloseTo(reference, 2);
  });

  it("a stuck value stays to the digit, and lives again when cleared", () => {
    const plant = plantOf({ items: { "item-1": {} } });
    plant.switchOutput(true);
    plant.setPoint(100);
    const stuck = plant.faults.add({ kind: "stuck", channel: "item-1", at: 0 });
    plant.advanceTo(60);
    const first = plant.read("item-1");
    plant.advanceTo(120);
    expect(plant.read("item-1")).toEqual(first);
    stuck.clear();
    expect(plant.read("item-1")).not.toEqual(first);
  });

  it("what is wired to nothing is open", () => {
    expect(plantOf({}).read("spare")).toEqual({ kind: "beyond", sign: 1 });
  });
});
