import type { InstrumentEntry } from "../drivers/entry.ts";
import { openBench } from "./open-bench.ts";
import { transcript, type Stage } from "./scripted-instrument.test-support.ts";

/** A bench of one scripted readout with one resistance channel. */
export const benchOfOne = (stage: Stage, entry: InstrumentEntry) => {
  const notes = transcript();
  const bench = openBench({
    instruments: [{ id: "readout", entry: entry.entry, at: stage.at, role: "readout" }],
    channels: { reference: { instrument: "readout", input: 2, unit: "Ω" } },
    entries: [entry],
    connect: stage.connect,
    clock: { now: () => 12 },
    observe: notes.observe,
  });
  const readOnce = async () => (await bench.read(["reference"]))[0]!;
  return { bench, notes, readOnce };
};
