import { setTimeout as after } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { instrumentEntrySchema } from "../drivers/entry.ts";
import { openBench } from "./open-bench.ts";
import { identity, readoutEntry, stages, transcript, type Script } from "./scripted-instrument.test-support.ts";

const real = stages.slice(1);

const sourceEntry = instrumentEntrySchema.parse({
  entry: "test-source",
  revision: 1,
  title: "Heat source of the tests",
  role: "source",
  transport: [{ kind: "tcp-socket" }, { kind: "serial" }, { kind: "usb-tmc" }],
  timeout: 2,
  identify: {},
  setPoint: {
    tell: "SOURce:TEMPerature:SPOint {value}",
    minimum: 0,
    maximum: 300,
    readBack: { ask: "SOURce:TEMPerature:SPOint?", within: 0.001 },
  },
  output: { on: "OUTPut:STATe ON", off: "OUTPut:STATe OFF", readBack: { ask: "OUTPut:STATe?", on: "1", off: "0" } },
});

/** A heat source that reads a thermometer too: two instruments of a bench in one box, on one line. */
const box =
  (mute: () => boolean): Script =>
  (message, { say }) => {
    if (message === "*IDN?") say(`${identity}\n`);
    else if (message === "SYSTem:ERRor?") say('0,"No error"\n');
    else if (message === "OUTPut:STATe?") say("0\n");
    else if (message.startsWith("MEAS") && !mute()) say("+100.0000\n");
  };

const benchOn = (at: string, connect: Parameters<typeof openBench>[0]["connect"]) => {
  const notes = transcript();
  const bench = openBench({
    instruments: [
      { id: "block", entry: "test-source", at, role: "source" },
      { id: "readout", entry: "test-readout", at, role: "readout" },
    ],
    channels: { reference: { instrument: "readout", input: 1, unit: "Ω" } },
    entries: [sourceEntry, readoutEntry({ timeout: 2, retries: 2 })],
    connect,
    clock: { now: () => 0 },
    observe: notes.observe,
  });
  return { bench, notes };
};

describe.each(real)("two instruments on one line, over %s", (_, stand) => {
  it("share the connection and wait for each other", async () => {
    const stage = await stand(box(() => false));
    const { bench, notes } = benchOn(stage.at, stage.connect);
    const [reading, switched] = await Promise.all([bench.read(["reference"]), bench.switchOutput(false)]);
    expect(reading[0]!.outcome).toMatchObject({ ok: true, value: { value: 100 } });
    expect(switched).toEqual({ ok: true, value: null });
    expect(stage.connections()).toBe(1);
    expect(notes.lines.filter((line) => line.startsWith("+"))).toHaveLength(1);
    await bench.close();
    await stage.close();
  });

  it("switching off does not wait for an answer that does not come", async () => {
    let mute = false;
    const stage = await stand(box(() => mute));
    const { bench } = benchOn(stage.at, stage.connect);
    await bench.prepare();
    mute = true;
    const reading = bench.read(["reference"]);
    const later = bench.read(["reference"]);
    await after(100);
    const began = performance.now();
    expect(await bench.switchOutput(false)).toEqual({ ok: true, value: null });
    // The silent question alone would have been waited for for 2 s, three times.
    expect(performance.now() - began).toBeLessThan(1000);
    expect((await reading)[0]!.outcome).toMatchObject({
      ok: false,
      fault: {
        message:
          '"MEASure:FRESistance? (@1)" to instrument "readout" was broken off, because its output is being switched off.',
      },
    });
    mute = false;
    expect((await later)[0]!.outcome).toMatchObject({ ok: true });
    await bench.close();
    await stage.close();
  });
});
