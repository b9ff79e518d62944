import type { BenchChannel } from "#instruments";
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
