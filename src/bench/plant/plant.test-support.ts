import type { Sensor } from "#thermometry";
import type { PlantOptions, WiredChannel } from "./bench-plan.ts";
import { createPlant } from "./plant.ts";
import { simulationSchema, type SimulationInput } from "./simulation.ts";

export const channels = {
  reference: { instrument: "readout", input: 1, unit: "Ω" },
  "item-1": { instrument: "readout", input: 2, unit: "mV" },
  junction: { instrument: "readout", input: 3, unit: "°C" },
  source: { instrument: "block", input: 1, unit: "°C" },
} as const satisfies Record<string, WiredChannel>;

export const typeK: Sensor = { kind: "thermocouple", type: "K" };

/** A dry block with a Pt100 as reference and a type K against a reference junction on the readout. */
export const plantOf = (simulation: SimulationInput, options: Partial<PlantOptions> = {}) =>
  createPlant({
    simulation: simulationSchema.parse(simulation),
    channels,
    sources: ["block"],
    items: [
      {
        id: "TC-1",
        channel: "item-1",
        sensor: typeK,
        coldJunction: { kind: "channel", channel: "junction", halfWidth: 0.1 },
        contributions: {},
      },
    ],
    seed: 11,
    startAt: 0,
    ...options,
  });

export const valueOf = (reading: { readonly kind: string; readonly value?: number }): number =>
  reading.value ?? Number.NaN;
