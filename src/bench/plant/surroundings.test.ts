import { prepare } from "#thermometry";
import { unwrap } from "#fault";
import { describe, expect, it } from "vitest";
import { plantOf, typeK, valueOf } from "./plant.test-support.ts";
import type { SimulationInput } from "./simulation.ts";

const steady = { oscillation: 0, unsteadiness: 0, controlOffset: 0 } as const;
const silent = { noise: { Ω: 1e-9, mV: 1e-9, "°C": 1e-9 }, flicker: 0 } as const;

const settledAt = (simulation: SimulationInput, setPoint: number, time: number) => {
  const plant = plantOf({
    hidden: "none",
    readout: silent,
    ...simulation,
    source: { ...steady, ...simulation.source },
  });
  plant.setPoint(setPoint);
  plant.switchOutput(true);
  plant.advanceTo(time);
  return plant;
};

describe("surroundings that warm up", () => {
  it("take the junction along, and leave a controlled block where it is", () => {
    const still = settledAt({}, 150, 7200);
    const drifting = settledAt({ ambientDrift: 6 }, 150, 7200);
    // Two hours at 6 K an hour.
    expect(valueOf(drifting.read("junction")) - valueOf(still.read("junction"))).toBeCloseTo(12, 2);
    expect(drifting.medium()).toBeCloseTo(150, 2);
    // Less is lost, so less is needed.
    expect(drifting.power()).toBeLessThan(still.power() - 1);
  });

  it("an output that is off lets the block follow them, not fall behind by their drift for ever", () => {
    const plant = plantOf({ ambientDrift: 6, hidden: "none", source: steady });
    plant.advanceTo(7200);
    expect(plant.medium()).toBeGreaterThan(23);
    expect(plant.medium()).toBeLessThan(35);
  });

  it("change what is lost along a stem, and what an item shows that minds them", () => {
    const item = (more: object) => ({ items: { "item-1": { noise: 0, deviation: { kelvin: [0] }, ...more } } });
    const rest = (simulation: SimulationInput) => settledAt(simulation, 150, 7200).undisturbed("item-1")!.atRest;
    const stem = rest({ ...item({ stemLoss: 0.01 }), ambientDrift: 6 }) - rest(item({ stemLoss: 0.01 }));
    expect(stem).toBeCloseTo(0.12, 3);
    const minding = rest({ ...item({ ambientEffect: 0.02 }), ambientDrift: 6 }) - rest(item({ ambientEffect: 0.02 }));
    expect(minding).toBeCloseTo(0.24, 3);
  });
});

describe("wells that creep", () => {
  it("are behind by their share of the change, which dies down with its lag", () => {
    const simulation: SimulationInput = {
      source: { class: "bath", wellCreep: { share: 0.01, lag: 3600 } },
      reference: { lags: [0, 0] },
      items: { "item-1": { noise: 0, lags: [0, 0], deviation: { kelvin: [0] } } },
    };
    const missing = (time: number) => {
      const { now, atRest } = settledAt(simulation, 123, time).undisturbed("item-1")!;
      return now - atRest;
    };
    // 1 % of 100 K, less what has come in while the bath was on its way; then e-fold in an hour.
    expect(missing(1800)).toBeLessThan(-0.6);
    expect(missing(1800)).toBeGreaterThan(-1);
    expect(missing(5400) / missing(1800)).toBeCloseTo(Math.exp(-1), 2);
  });
});

describe("the difference without noise", () => {
  it("is what a noiseless reader finds through the sensors' equations", () => {
    const plant = settledAt({ items: { "item-1": { noise: 0 } }, hidden: "drawn" }, 180, 600);
    const reference = unwrap(
      unwrap(prepare(plant.plan.reference.sensor)).temperature(valueOf(plant.read("reference"))),
    );
    const coldJunction = valueOf(plant.read("junction"));
    const item = unwrap(unwrap(prepare(typeK)).temperature(valueOf(plant.read("item-1")), { coldJunction }));
    // Digits of 0.1 µV, 0.1 mΩ and 0.01 K at the junction stand between the two.
    expect(Math.abs(plant.undisturbed("TC-1")!.now - (item.temperature - reference.temperature))).toBeLessThan(0.008);
  });

  it("is the same on a plant without the readout's noise, whose motion is the same", () => {
    const simulation = { items: { "item-1": {} } };
    const [noisy, quiet] = [plantOf(simulation), plantOf(simulation, { noiseless: true })];
    for (const plant of [noisy, quiet]) {
      plant.setPoint(90);
      plant.switchOutput(true);
      plant.advanceTo(333);
    }
    expect(quiet.medium()).toBe(noisy.medium());
    expect(quiet.undisturbed("item-1")).toEqual(noisy.undisturbed("item-1"));
  });

  it("of an item that the bench does not have is asked in vain", () => {
    expect(() => plantOf({}).undisturbed("TC-9")).toThrow('the bench has no item "TC-9"');
  });
});
