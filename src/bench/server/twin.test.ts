import { expect, it } from "vitest";
import { instrumentEntrySchema, openBench } from "#instruments";
import { lockStepClock } from "../clocks/lock-step-clock.ts";
import { startSimulatedBench } from "./start-simulated-bench.ts";

/** Words that no standard knows: what an entry's author declares is what its twin speaks. */
const readout = instrumentEntrySchema.parse({
  entry: "own-readout",
  revision: 1,
  title: "Readout with words of its own",
  role: "readout",
  transport: { kind: "tcp-socket" },
  identify: { ask: "WHO?", expect: "Three Inputs" },
  onConnect: ["HELLO"],
  errors: { ask: "WRONG?", none: 7 },
  read: {
    Ω: { ask: "R{input}", shape: "R{input}={value} OHM", answers: "kΩ", inputs: { first: 1, last: 3 }, openAt: [999] },
  },
});
const source = instrumentEntrySchema.parse({
  entry: "own-source",
  revision: 1,
  title: "Source with words of its own",
  role: "source",
  transport: { kind: "tcp-socket" },
  identify: { ask: "WHO?" },
  read: { "°C": { ask: "T?", answers: "°C", inputs: { first: 1, last: 1 } } },
  setPoint: { tell: "SET {value}", decimals: 2, minimum: 0, maximum: 200, readBack: { ask: "SET?", within: 0.01 } },
  output: { on: "HEAT 1", off: "HEAT 0", readBack: { ask: "HEAT?", on: "YES", off: "NO" } },
});

it("an entry's own words are answered by its twin", async () => {
  const clock = lockStepClock({ speed: Number.POSITIVE_INFINITY });
  const instruments = [
    { id: "block", entry: "own-source", at: "simulated", role: "source" },
    { id: "readout", entry: "own-readout", at: "simulated", role: "readout" },
  ] as const;
  const bench = await startSimulatedBench({
    instruments,
    entries: [readout, source],
    channels: {
      reference: { instrument: "readout", input: 2, unit: "Ω" },
      source: { instrument: "block", input: 1, unit: "°C" },
    },
    clock,
    listen: false,
  });
  const port = openBench({
    instruments,
    channels: {
      reference: { instrument: "readout", input: 2, unit: "Ω" },
      loose: { instrument: "readout", input: 3, unit: "Ω" },
      source: { instrument: "block", input: 1, unit: "°C" },
    },
    entries: [readout, source],
    connect: bench.connect,
    clock,
  });
  // Each says by which entry it speaks, and what its entry expects to hear.
  expect(await port.prepare()).toEqual({
    ok: true,
    value: [
      { instrument: "block", identification: "Dwellpoint,simulated own-source,block,1" },
      { instrument: "readout", identification: "Dwellpoint,simulated own-readout Three Inputs,readout,1" },
    ],
  });
  expect(await port.commandSetPoint(80)).toEqual({ ok: true, value: null });
  expect(bench.plant.setPointNow()).toBe(80);
  expect(await port.switchOutput(true)).toEqual({ ok: true, value: null });
  expect(bench.plant.outputOn()).toBe(true);
  const [reference, loose, control] = await port.read(["reference", "loose", "source"]);
  // A reference of 100 Ω at about 23 °C, answered in kΩ.
  expect(reference!.outcome).toMatchObject({ ok: true, value: { wire: expect.stringMatching(/^0\.1\d{6}$/) } });
  expect(loose!.outcome).toMatchObject({ ok: false, fault: { code: "signal.open-circuit" } });
  expect(control!.outcome).toMatchObject({ ok: true });
  await port.close();
  await bench.close();
});

it("words that are neither the standard's nor the entry's go into the error queue", async () => {
  const bench = await startSimulatedBench({
    instruments: [{ id: "readout", role: "readout", entry: "own-readout" }],
    entries: [readout],
    channels: {},
    clock: { now: () => 0 },
    listen: false,
  });
  const wire = await bench.connect({ id: "readout", at: "simulated", transport: { kind: "tcp-socket", end: "lf" } });
  if (!wire.ok) throw new Error(wire.fault.message);
  let heard = "";
  wire.value.listen({
    bytes: (piece) => {
      heard += String.fromCharCode(...piece);
    },
    closed: () => undefined,
  });
  const send = (text: string) => wire.value.send(Uint8Array.from(`${text}\n`, (character) => character.charCodeAt(0)));
  send("DANCE");
  send("SYST:ERR?");
  expect(heard).toBe('-113,"Undefined header"\n');
  await bench.close();
});
