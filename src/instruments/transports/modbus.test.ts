import { afterEach, describe, expect, it } from "vitest";
import { lockStepClock, startSimulatedBench, type SimulatedBench } from "#bench";
import { unwrap } from "#fault";
import { openBench, type BenchOptions } from "../conversation/open-bench.ts";
import { transcript } from "../conversation/scripted-instrument.test-support.ts";
import { instrumentEntrySchema, type InstrumentEntry } from "../drivers/entry.ts";
import { connectWire } from "./connect.ts";
import { modbusBuses } from "./modbus-link.ts";

const entry = (changes: object): InstrumentEntry =>
  instrumentEntrySchema.parse({
    revision: 1,
    title: "Registers of the tests",
    dialogue: "registers",
    transport: [{ kind: "modbus-tcp" }, { kind: "modbus-rtu" }],
    timeout: 1,
    retries: 1,
    ...changes,
  });

const transmitter = entry({
  entry: "transmitter",
  role: "readout",
  read: {
    "°C": { table: "input", address: 10, type: "float32", answers: "°C", inputs: { first: 1, last: 2 }, stride: 2 },
    mA: { table: "holding", address: 30, type: "int16", scale: 0.001, answers: "mA", openAt: [-32.768] },
  },
});
const source = entry({
  entry: "source",
  role: "source",
  identify: { by: "register", table: "holding", address: 99, expect: 4711 },
  read: { "°C": { table: "input", address: 0, type: "int16", scale: 0.1, answers: "°C" } },
  setPoint: {
    address: 5,
    type: "int32",
    wordOrder: "low-first",
    scale: 0.01,
    minimum: -40,
    maximum: 400,
    within: 0.01,
  },
  output: { table: "holding", address: 7, on: 1, off: 0 },
});

const opened: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const each of opened.splice(0).reverse()) await each.close();
});

const twins = async (where: "tcp" | "rtu") => {
  const clock = lockStepClock({ speed: Number.POSITIVE_INFINITY });
  const bench = await startSimulatedBench({
    instruments: [
      { id: "transmitter", role: "readout", entry: "transmitter" },
      { id: "block", role: "source", entry: "source" },
    ],
    entries: [transmitter, source],
    channels: {
      junction: { instrument: "transmitter", input: 2, unit: "°C" },
      "item-1": { instrument: "transmitter", input: 1, unit: "mA" },
      source: { instrument: "block", input: 1, unit: "°C" },
    },
    simulation: { items: { "item-1": { sensor: { kind: "loop", lower: 0, upper: 100 } } } },
    clock,
    listen: where === "tcp" ? {} : { serial: ["transmitter", "block"] },
  });
  opened.push(bench);
  return bench;
};

const wired = (bench: SimulatedBench, changes: Partial<BenchOptions> = {}) => {
  const notes = transcript();
  const port = openBench({
    instruments: [
      { id: "transmitter", role: "readout", entry: "transmitter", at: bench.addresses["transmitter"]! },
      { id: "block", role: "source", entry: "source", at: bench.addresses["block"]! },
    ],
    channels: {
      junction: { instrument: "transmitter", input: 2, unit: "°C" },
      current: { instrument: "transmitter", input: 1, unit: "mA" },
      control: { instrument: "block", input: 1, unit: "°C" },
      nothing: { instrument: "transmitter", input: 1, unit: "°C" },
    },
    entries: [transmitter, source],
    connect: connectWire,
    connectRegisters: modbusBuses(),
    clock: { now: () => 0 },
    observe: notes.observe,
    ...changes,
  });
  opened.push(port);
  return { port, notes };
};

describe.each(["tcp", "rtu"] as const)("registers over Modbus %s", (where) => {
  it("are read, set and switched; what is not there is said", async () => {
    const bench = await twins(where);
    const { port, notes } = wired(bench);
    expect(await port.prepare()).toMatchObject({
      ok: true,
      value: [{ instrument: "transmitter" }, { instrument: "block", identification: "register 99 holds 4711" }],
    });
    const [junction, current, control, nothing] = await port.read(["junction", "current", "control", "nothing"]);
    expect(unwrap(junction!.outcome).value).toBeCloseTo(24.4, 0);
    // The item is a loop of 0 to 100 °C at room temperature: 23 °C are 7.68 mA by its line.
    expect(unwrap(current!.outcome).value).toBeCloseTo(7.68, 0);
    expect(control!.outcome).toMatchObject({ ok: true, value: { value: 23 } });
    // Input 1 in °C has nothing wired to it: not a number.
    expect(nothing!.outcome).toMatchObject({ ok: false, fault: { code: "instrument.reported" } });
    expect(await port.commandSetPoint(123.45)).toEqual({ ok: true, value: null });
    expect(bench.plant.setPointNow()).toBeCloseTo(123.45, 9);
    expect(await port.switchOutput(true)).toEqual({ ok: true, value: null });
    expect(bench.plant.outputOn()).toBe(true);
    expect(await port.switchOutput(false)).toEqual({ ok: true, value: null });
    expect(bench.plant.outputOn()).toBe(false);
    expect(await port.commandSetPoint(500)).toMatchObject({ ok: false, fault: { code: "run.limit" } });
    // 12345 hundredths, low word first.
    expect(notes.lines).toContain("> write 3039 0000 to register 5");
  });

  it("an exception is said with its name and not asked again", async () => {
    const bench = await twins(where);
    const elsewhere = entry({
      entry: "transmitter",
      role: "readout",
      read: { "°C": { table: "input", address: 500, type: "int16", answers: "°C" } },
    });
    const { port, notes } = wired(bench, {
      instruments: [{ id: "transmitter", role: "readout", entry: "transmitter", at: bench.addresses["transmitter"]! }],
      channels: { junction: { instrument: "transmitter", input: 1, unit: "°C" } },
      entries: [elsewhere],
    });
    expect((await port.read(["junction"]))[0]!.outcome).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.reported",
        message: expect.stringContaining('it reports 2 "illegal data address"'),
      },
    });
    expect(notes.lines.filter((line) => line.startsWith(">"))).toHaveLength(1);
  });

  it("silence is waited for as the entry says, and a late answer is never the next question's", async () => {
    const bench = await twins(where);
    const { port } = wired(bench);
    await port.prepare();
    const fault = bench.fault({ kind: "slow", instrument: "transmitter", seconds: 1.3 });
    expect((await port.read(["junction"]))[0]!.outcome).toMatchObject({
      ok: false,
      fault: { code: "instrument.timeout" },
    });
    fault.clear();
    // Another register of the same length: its answer cannot be told from a late one by its form.
    const [current] = await port.read(["current"]);
    expect(unwrap(current!.outcome).value).toBeCloseTo(7.68, 0);
  });

  it("another instrument at the address is not taken for the right one", async () => {
    const bench = await twins(where);
    const { port } = wired(bench, {
      instruments: [{ id: "block", role: "source", entry: "source", at: bench.addresses["block"]! }],
      channels: {},
      entries: [
        { ...source, identify: { by: "register", table: "holding", address: 99, expect: 1234 } } as InstrumentEntry,
      ],
    });
    expect(await port.prepare()).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.exchanged",
        message: expect.stringContaining(
          '"register 99 holds 4711" answers where "register 99 holds 1234" was expected',
        ),
      },
    });
  });
});

it("units on one bus are asked one after the other over one connection", async () => {
  const bench = await twins("tcp");
  const at = bench.addresses["transmitter"]!;
  const { port } = wired(bench, {
    instruments: [
      { id: "one", role: "readout", entry: "transmitter", at },
      { id: "two", role: "readout", entry: "transmitter", at: at.replace("#1", "#2") },
    ],
    channels: {
      a: { instrument: "one", input: 2, unit: "°C" },
      b: { instrument: "two", input: 2, unit: "°C" },
    },
  });
  const answers = await Promise.all([port.read(["a", "b"]), port.read(["b", "a"])]);
  expect(answers.flat().map(({ outcome }) => outcome.ok)).toEqual([true, true, true, true]);
});

it("a server that goes away and comes back is found again", async () => {
  const bench = await twins("tcp");
  const { port } = wired(bench);
  await port.prepare();
  const address = Number(/:(\d+)#/.exec(bench.addresses["transmitter"]!)![1]);
  await bench.close();
  expect((await port.read(["junction"]))[0]!.outcome).toMatchObject({ ok: false });
  const again = await startSimulatedBench({
    instruments: [{ id: "transmitter", role: "readout", entry: "transmitter" }],
    entries: [transmitter],
    channels: { junction: { instrument: "transmitter", input: 2, unit: "°C" } },
    clock: lockStepClock({ speed: Number.POSITIVE_INFINITY }),
    listen: { ports: { transmitter: address } },
  });
  opened.push(again);
  expect((await port.read(["junction"]))[0]!.outcome).toMatchObject({ ok: true });
});
