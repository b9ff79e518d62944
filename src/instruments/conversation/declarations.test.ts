import { expect, it } from "vitest";
import { openBench, type BenchOptions } from "./open-bench.ts";
import { readoutEntry } from "./scripted-instrument.test-support.ts";

const entry = readoutEntry();
const open = (changes: Partial<BenchOptions>) => () =>
  openBench({
    instruments: [{ id: "readout", entry: entry.entry, at: "simulated", role: "readout" }],
    channels: {},
    entries: [entry],
    connect: () => Promise.reject(new Error("nothing may be connected")),
    clock: { now: () => 0 },
    ...changes,
  });

it.each([
  [
    "an entry that is not there",
    { instruments: [{ id: "readout", entry: "nowhere", at: "simulated", role: "readout" }] },
    'Instrument "readout" names catalogue entry "nowhere", which is not there. Known: test-readout.',
  ],
  [
    "an entry for another role",
    { instruments: [{ id: "block", entry: "test-readout", at: "simulated", role: "source" }] },
    'Instrument "block" has role source, but catalogue entry "test-readout" is for role readout. Correct the job.',
  ],
  [
    "a channel on an instrument that is not there",
    { channels: { reference: { instrument: "meter", input: 1, unit: "Ω" } } },
    'Channel "reference" is read on instrument "meter", which the bench does not have.',
  ],
  [
    "an input that the instrument does not have",
    { channels: { reference: { instrument: "readout", input: 9, unit: "Ω" } } },
    'Catalogue entry "test-readout" has no input 9 for Ω; inputs are 1 to 4. Correct the channel\'s input in the job.',
  ],
  [
    "a unit that the entry cannot read",
    { channels: { reference: { instrument: "readout", input: 1, unit: "mA" } } },
    'Catalogue entry "test-readout" cannot read mA; it reads Ω, mV. Choose another entry, or add read.mA to this one.',
  ],
] as const)("%s is refused before anything is connected", (_, changes, sentence) => {
  expect(open(changes)).toThrow(sentence);
});
