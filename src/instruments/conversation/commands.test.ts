import { expect, it } from "vitest";
import { instrumentEntrySchema } from "../drivers/entry.ts";
import { openBench } from "./open-bench.ts";
import { identity, stages, transcript, type Script } from "./scripted-instrument.test-support.ts";

const [, inMemory] = stages[0]!;

const sourceEntry = instrumentEntrySchema.parse({
  entry: "test-source",
  revision: 1,
  title: "Heat source of the tests",
  role: "source",
  transport: { kind: "tcp-socket" },
  timeout: 0.5,
  identify: {},
  errors: { ask: "SYSTem:ERRor?" },
  setPoint: {
    tell: "SOURce:TEMPerature:SPOint {value}",
    decimals: 2,
    minimum: 0,
    maximum: 400,
    readBack: { ask: "SOURce:TEMPerature:SPOint?", within: 0 },
  },
  rampRate: {
    tell: "SOURce:TEMPerature:RATE {value}",
    minimum: 0.01,
    maximum: 20,
    readBack: { ask: "SOURce:TEMPerature:RATE?", within: 0 },
  },
  output: { on: "OUTPut ON", off: "OUTPut OFF", readBack: { ask: "OUTPut?", on: "1", off: "0" } },
});

const standSource = async (habits: { highest?: number; deaf?: boolean } = {}) => {
  let setPoint = 23;
  let output = "0";
  let rate = 20;
  const errors: string[] = [];
  const script: Script = (message, { say }) => {
    const [header, value] = message.split(" ");
    if (header === "*IDN?") say(`${identity}\n`);
    else if (header === "SYSTem:ERRor?") say(`${errors.shift() ?? '0,"No error"'}\n`);
    else if (header === "SOURce:TEMPerature:SPOint?") say(`${setPoint.toFixed(2)}\n`);
    else if (header === "SOURce:TEMPerature:RATE") rate = Number(value);
    else if (header === "SOURce:TEMPerature:RATE?") say(`${rate.toFixed(3)}\n`);
    else if (header === "OUTPut?") say(`${output}\n`);
    else if (header === "OUTPut") output = habits.deaf === true ? output : value === "ON" ? "1" : "0";
    else if (Number(value) > (habits.highest ?? 400)) errors.push('-222,"Data out of range"');
    else if (habits.deaf !== true) setPoint = Number(value);
  };
  const stage = await inMemory(script);
  const notes = transcript();
  const bench = openBench({
    instruments: [{ id: "block", entry: "test-source", at: stage.at, role: "source" }],
    channels: {},
    entries: [sourceEntry],
    connect: stage.connect,
    clock: { now: () => 0 },
    observe: notes.observe,
  });
  await bench.prepare();
  notes.clear();
  return { bench, notes };
};

it("a set point is sent, the error queue looked into, and the value read back", async () => {
  const { bench, notes } = await standSource();
  expect(await bench.commandSetPoint(100.126)).toEqual({ ok: true, value: null });
  expect(notes.lines).toEqual([
    "> SOURce:TEMPerature:SPOint 100.13",
    "> SYSTem:ERRor?",
    '< 0,"No error"',
    "> SOURce:TEMPerature:SPOint?",
    "< 100.13",
  ]);
  await bench.close();
});

it("a set point beyond the entry's limits is never sent", async () => {
  const { bench, notes } = await standSource();
  expect(await bench.commandSetPoint(400.5)).toMatchObject({
    ok: false,
    fault: {
      code: "run.limit",
      message:
        "The command for a set point of 400.5 °C was not sent: the instrument's catalogue entry allows 0 to 400 °C. Correct the procedure, or the entry if it is wrong.",
    },
  });
  expect(await bench.commandSetPoint(Number.NaN)).toMatchObject({ ok: false, fault: { code: "run.limit" } });
  expect(notes.lines).toEqual([]);
  await bench.close();
});

it("what the instrument refuses is told in its own words", async () => {
  const { bench } = await standSource({ highest: 300 });
  expect(await bench.commandSetPoint(350)).toMatchObject({
    ok: false,
    fault: {
      code: "instrument.reported",
      message:
        'Instrument "block" at simulated did not accept "SOURce:TEMPerature:SPOint 350.00"; it reports -222 "Data out of range". Check the instrument\'s display and that catalogue entry "test-source" suits it.',
    },
  });
  await bench.close();
});

it("a set point that does not arrive is noticed on reading back", async () => {
  const { bench } = await standSource({ deaf: true });
  expect(await bench.commandSetPoint(50)).toMatchObject({
    ok: false,
    fault: {
      code: "instrument.reported",
      message:
        'Instrument "block" at simulated was sent a set point of 50 °C ("SOURce:TEMPerature:SPOint 50.00") but reads back 23.00. Check its own limits and whether it is in remote control.',
    },
  });
  await bench.close();
});

it("an output that stays on is told with the caution that belongs to it", async () => {
  const { bench } = await standSource();
  expect(await bench.switchOutput(true)).toEqual({ ok: true, value: null });
  expect(await bench.switchOutput(false)).toEqual({ ok: true, value: null });
  const deaf = await standSource({ deaf: true });
  expect(await deaf.bench.switchOutput(true)).toMatchObject({
    ok: false,
    fault: {
      message:
        'Instrument "block" at simulated was told "OUTPut ON" but its output is still off. Check its interlocks and limits.',
    },
  });
  await bench.close();
  await deaf.bench.close();
});

it("an item without a maintenance channel is adjusted by hand", async () => {
  const { bench } = await standSource();
  expect(await bench.adjustItem("TT-4", 0.1, 0)).toMatchObject({
    ok: false,
    fault: { message: expect.stringContaining("Adjust the item by hand") },
  });
  await bench.close();
});

it("a ramp rate is sent where the entry has words for it, its largest for as fast as it can", async () => {
  const { bench, notes } = await standSource();
  expect(await bench.setRampRate(0.3)).toEqual({ ok: true, value: null });
  expect(await bench.setRampRate(null)).toEqual({ ok: true, value: null });
  expect(notes.lines.filter((line) => line.startsWith("> SOURce:TEMPerature:RATE "))).toEqual([
    "> SOURce:TEMPerature:RATE 0.300",
    "> SOURce:TEMPerature:RATE 20.000",
  ]);
  const { rampRate: _, ...plain } = sourceEntry as Extract<
    typeof sourceEntry,
    { role: string; dialogue?: "questions" | undefined }
  >;
  const stage = await inMemory((message, { say }) => message === "*IDN?" && say(`${identity}\n`));
  const without = openBench({
    instruments: [{ id: "block", entry: "test-source", at: stage.at, role: "source" }],
    channels: {},
    entries: [plain],
    connect: stage.connect,
    clock: { now: () => 0 },
  });
  expect(await without.setRampRate(0.3)).toMatchObject({
    ok: false,
    fault: { code: "instrument.entry-invalid", message: expect.stringContaining("ramp.by: steps") },
  });
});
