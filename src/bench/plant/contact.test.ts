import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { contactOf, drawContact } from "./contact.ts";
import { plantOf } from "./plant.test-support.ts";

const model = { onRise: "opens" as const, rising: 60, falling: 57, repeatability: 0, chatter: 0 };
const sensor = {
  kind: "switch",
  onRise: "opens",
  trip: 60,
  tripsOn: "rising",
  deadBand: { minimum: 2, maximum: 4 },
} as const;

describe("the contact of a simulated switch", () => {
  it("changes at one temperature on the way up and at another on the way down", () => {
    const contact = contactOf(model, 20, 0.25, seededGenerator(1));
    const seen: string[] = [];
    for (const temperature of [59.9, 60.1, 58, 57.1, 56.9, 59.9, 60.1]) {
      contact.step(temperature);
      seen.push(`${temperature} ${contact.closed() ? "closed" : "open"}`);
    }
    expect(seen).toEqual([
      "59.9 closed",
      "60.1 open",
      "58 open",
      "57.1 open",
      "56.9 closed",
      "59.9 closed",
      "60.1 open",
    ]);
  });

  it("bounces for as long as it is told, and then stays", () => {
    const contact = contactOf({ ...model, chatter: 10 }, 20, 0.25, seededGenerator(2));
    contact.step(61);
    const states = Array.from({ length: 80 }, () => {
      contact.step(61);
      return contact.closed();
    });
    expect(new Set(states.slice(0, 39)).size).toBe(2);
    expect(states.slice(40)).toEqual(Array.from({ length: 40 }, () => false));
  });

  it("scatters by its repeatability around its true temperature", () => {
    const contact = contactOf({ ...model, repeatability: 0.05 }, 20, 0.25, seededGenerator(3));
    const changes: number[] = [];
    for (let cycle = 0; cycle < 300; cycle += 1) {
      let temperature = 59;
      for (; contact.closed(); temperature += 0.002) contact.step(temperature);
      changes.push(temperature);
      contact.step(50);
    }
    const mean = changes.reduce((sum, each) => sum + each, 0) / changes.length;
    const sd = Math.sqrt(changes.reduce((sum, each) => sum + (each - mean) ** 2, 0) / (changes.length - 1));
    expect(Math.abs(mean - 60)).toBeLessThan(0.012);
    expect(sd).toBeCloseTo(0.05, 2);
  });

  it("is drawn near what is wanted where nothing is said, falling always below rising", () => {
    for (let seed = 0; seed < 50; seed += 1) {
      const drawn = drawContact(sensor, seededGenerator(seed));
      expect(drawn.falling).toBeLessThan(drawn.rising);
      expect(Math.abs(drawn.rising - 60)).toBeLessThan(2);
    }
  });

  it("is read on a channel through the physics, knows its truth, and opens when its wire is off", () => {
    const plant = plantOf(
      {
        source: { start: 22 },
        items: { "item-1": { contact: { rising: 40, falling: 37, chatter: 0 } } },
        faults: [{ kind: "open-circuit", channel: "item-1", at: 5000 }],
      },
      {
        channels: {
          reference: { instrument: "readout", input: 1, unit: "Ω" },
          "item-1": { instrument: "readout", input: 2, unit: "contact" },
          source: { instrument: "block", input: 1, unit: "°C" },
        },
        items: [{ id: "TS-1", channel: "item-1", sensor, contributions: {} }],
      },
    );
    expect(plant.contact("TS-1")).toEqual({ rising: 40, falling: 37 });
    expect(plant.read("item-1")).toEqual({ kind: "value", value: 1 });
    plant.setPoint(45);
    plant.switchOutput(true);
    plant.advanceTo(2000);
    expect(plant.read("item-1")).toEqual({ kind: "value", value: 0 });
    plant.setPoint(30);
    plant.advanceTo(4900);
    expect(plant.read("item-1")).toEqual({ kind: "value", value: 1 });
    plant.advanceTo(5001);
    expect(plant.read("item-1")).toEqual({ kind: "value", value: 0 });
  });
});
