import * as fc from "fast-check";
import { expect, it } from "vitest";
import { channels, plantOf } from "./plant.test-support.ts";

const seed = 20_260_401;
const names = Object.keys(channels);

const readAt = (plantSeed: number, polls: readonly number[], end: number) => {
  const plant = plantOf({ items: { "item-1": {} } }, { seed: plantSeed });
  plant.switchOutput(true);
  plant.setPoint(80);
  for (const time of polls) {
    plant.advanceTo(time);
    for (const name of names) plant.read(name);
  }
  plant.advanceTo(100);
  plant.setPoint(60);
  plant.advanceTo(end);
  return names.map((name) => plant.read(name));
};

it(`digits depend on seed and time, not on who asked before or how often (seed ${seed})`, () => {
  const polls = fc
    .array(fc.double({ min: 0, max: 100, noNaN: true }), { maxLength: 40 })
    .map((times) => times.sort((a, b) => a - b));
  fc.assert(
    fc.property(fc.nat(1_000_000), polls, fc.double({ min: 100, max: 200, noNaN: true }), (plantSeed, times, end) => {
      expect(readAt(plantSeed, times, end)).toEqual(readAt(plantSeed, [], end));
    }),
    { seed, numRuns: 40 },
  );
});

it("another seed is another bench", () => {
  expect(readAt(1, [], 150)).not.toEqual(readAt(2, [], 150));
  expect(readAt(1, [], 150)).toEqual(readAt(1, [], 150));
});

it("time does not go back", () => {
  const plant = plantOf({});
  plant.advanceTo(50);
  const reading = plant.read("reference");
  plant.advanceTo(10);
  expect(plant.read("reference")).toEqual(reading);
});

it("a bench may begin late, as when a run is resumed, and begins cold", () => {
  const plant = plantOf({ hidden: "none" }, { startAt: 5000 });
  plant.advanceTo(5001);
  expect(plant.medium()).toBeCloseTo(23, 6);
});
