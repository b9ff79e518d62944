import { Fault } from "#fault";
import type { BenchChannel, InstrumentEntry } from "#instruments";
import type { SimulatedBenchFile } from "./read-simulated-bench.ts";

const onReadout = (input: number, unit: BenchChannel["unit"]) => ({ instrument: "readout", input, unit });

/** What `simulate` starts when no file is named: a dry block, a readout, three kinds of item. Invented things. */
export const demoBench: SimulatedBenchFile = {
  instruments: [
    { id: "block", role: "source" },
    { id: "readout", role: "readout" },
    { id: "item-3", role: "item" },
  ],
  channels: {
    reference: onReadout(1, "Ω"),
    "item-1": onReadout(2, "mV"),
    "item-2": onReadout(3, "Ω"),
    "item-3": onReadout(4, "mA"),
    junction: onReadout(5, "°C"),
    source: { instrument: "block", input: 1, unit: "°C" },
  },
  simulation: {
    source: { class: "dry-block" },
    items: { "item-1": {}, "item-2": {}, "item-3": { deviation: { zero: 0.4, span: -0.25 } } },
  },
  ports: {},
};

/** What a readout of each unit has on its inputs, so that something plausible can be read. */
const wired: Readonly<Record<string, string>> = { Ω: "reference", mV: "item-1", mA: "item-3", "°C": "junction" };

/** A bench with one instrument of the catalogue: its twin, to try the entry and to learn its words. */
export const twinBench = (entry: InstrumentEntry): SimulatedBenchFile => {
  if (entry.role === "item")
    return {
      ...demoBench,
      instruments: [{ id: "item-3", role: "item", entry: entry.entry }],
      channels: demoBench.channels,
    };
  const id = entry.role === "source" ? "block" : "readout";
  const read = Object.entries(entry.read);
  const taken = new Set<number>();
  const channels = Object.fromEntries(
    read.flatMap(([unit, { inputs }]): [string, BenchChannel][] => {
      const channel = entry.role === "source" ? "source" : wired[unit];
      // Each unit has an input of its own, as far as there are inputs.
      const input = Array.from({ length: inputs.last - inputs.first + 1 }, (_, index) => inputs.first + index).find(
        (each) => !taken.has(each),
      );
      if (channel === undefined || input === undefined) return [];
      taken.add(input);
      return [[channel, { instrument: id, input, unit: unit as BenchChannel["unit"] }]];
    }),
  );
  if (read.length > 0 && Object.keys(channels).length === 0)
    throw new Fault("usage.wrong", `Entry "${entry.entry}" reads nothing that the demonstration bench has.`);
  return { ...demoBench, instruments: [{ id, role: entry.role, entry: entry.entry }], channels };
};
