import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "yaml";
import { connectTcp, instrumentEntrySchema, openBench, type Frame, type InstrumentEntry } from "#instruments";
import { lockStepClock } from "../clocks/lock-step-clock.ts";
import { startSimulatedBench, type SimulatedBenchOptions } from "./start-simulated-bench.ts";

const folder = join(import.meta.dirname, "../../../catalog/instruments");

/** The shipped entries, with a short patience so that tests of silence are quick. */
export const entries = (changes: { readonly timeout?: number; readonly retries?: number } = {}): InstrumentEntry[] =>
  readdirSync(folder)
    .filter((name) => name.endsWith(".yaml"))
    .map((name) => ({ ...instrumentEntrySchema.parse(parse(readFileSync(join(folder, name), "utf8"))), ...changes }));

export const instruments = [
  { id: "block", entry: "scpi-heat-source", at: "simulated", role: "source" },
  { id: "readout", entry: "scpi-thermometer-readout", at: "simulated", role: "readout" },
  { id: "TT-1", entry: "scpi-transmitter-trim", at: "simulated", role: "item" },
] as const;

export const channels = {
  reference: { instrument: "readout", input: 1, unit: "Ω" },
  "item-1": { instrument: "readout", input: 2, unit: "mA" },
  "item-2": { instrument: "readout", input: 3, unit: "mV" },
  junction: { instrument: "readout", input: 4, unit: "°C" },
  source: { instrument: "block", input: 1, unit: "°C" },
} as const;

/** A simulated bench and the instrument layer in front of it, over sockets or in memory. */
export const standBench = async (
  by: "tcp" | "memory",
  simulation: Record<string, unknown> = {},
  options: Partial<SimulatedBenchOptions> & { readonly entry?: Partial<InstrumentEntry> } = {},
) => {
  const clock = lockStepClock({ speed: Number.POSITIVE_INFINITY });
  const loop = { kind: "loop", lower: 0, upper: 150 } as const;
  const simulated = await startSimulatedBench({
    simulation: { items: { "item-2": {} }, ...simulation },
    instruments,
    channels,
    items: [{ id: "TT-1", channel: "item-1", sensor: loop, contributions: {} }],
    clock,
    seed: 5,
    listen: by === "tcp" ? {} : false,
    ...options,
  });
  const frames: Frame[] = [];
  const bench = openBench({
    instruments,
    channels,
    entries: entries({ timeout: 0.25, ...options.entry }),
    connect: by === "tcp" ? ({ id }) => connectTcp(simulated.addresses[id]!) : simulated.connect,
    clock,
    observe: (frame) => frames.push(frame),
  });
  const close = async () => {
    await bench.close();
    await simulated.close();
  };
  return { bench, simulated, clock, frames, close };
};
