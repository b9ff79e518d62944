import { expect, it } from "vitest";
import { temperatureOf } from "#thermometry";
import { plantOf, typeK, valueOf } from "./plant.test-support.ts";

/*
 * The truth that the bench gives is what a patient reader of a perfect kit would find: mean of many readings in a steady
 * source, indication less reference. Worked out with the sensors' equations alone, never with an evaluation.
 */
it.each([
  ["kelvin", { kelvin: [0.4, 0.002] }],
  ["millivolt", { millivolt: [0.005, 0.000_1] }],
])("is what a perfect kit finds in the long run: deviation in %s", (_, deviation) => {
  const plant = plantOf({
    hidden: "none",
    source: { controlOffset: 0.3, oscillation: 0, unsteadiness: 0 },
    items: { "item-1": { deviation } },
  });
  plant.switchOutput(true);
  plant.setPoint(180);
  const references: number[] = [];
  const errors: number[] = [];
  for (let time = 5400; time < 6000; time += 1) {
    plant.advanceTo(time);
    const reference = temperatureOf(plant.plan.reference.sensor, valueOf(plant.read("reference")));
    const junction = valueOf(plant.read("junction"));
    const item = temperatureOf(typeK, valueOf(plant.read("item-1")), { coldJunction: junction });
    if (!reference.ok || !item.ok) throw new Error("no temperature");
    references.push(reference.value.temperature);
    errors.push(item.value.temperature - reference.value.temperature);
  }
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  expect(mean(references)).toBeCloseTo(179.7, 1);
  expect(Math.abs(mean(errors) - plant.truth("TC-1", mean(references)))).toBeLessThan(0.004);
});

it("follows an adjustment from its time on", () => {
  const channels = {
    reference: { instrument: "readout", input: 1, unit: "Ω" },
    "item-1": { instrument: "readout", input: 2, unit: "mA" },
  } as const;
  const loop = { kind: "loop", lower: 0, upper: 150 } as const;
  const plant = plantOf(
    { items: { "item-1": { deviation: { zero: 0.5, span: -0.2 } } } },
    { channels, items: [{ id: "TT-1", channel: "item-1", sensor: loop, contributions: {} }] },
  );
  plant.advanceTo(1000);
  expect(plant.truth("TT-1", 75)).toBeCloseTo(0.4, 12);
  expect(plant.trim("TT-1", -0.5, 0.2)).toBe(true);
  expect(plant.trims("TT-1")).toEqual({ zero: -0.5, span: 0.2 });
  expect(plant.truth("TT-1", 75)).toBeCloseTo(0, 12);
  expect(plant.truth("TT-1", 75, 999)).toBeCloseTo(0.4, 12);
  expect(plant.trim("TT-9", 0, 0)).toBe(false);
  expect(() => plant.truth("TT-9", 0)).toThrow('the bench has no item "TT-9"');
});
