import { describe, expect, it } from "vitest";
import { connectTcp, openBench, type Frame } from "#instruments";
import { channels, entries, instruments, standBench } from "./bench.test-support.ts";
import { startSimulatedBench } from "./start-simulated-bench.ts";

const names = Object.keys(channels);

/** A short visit: what every channel said, with the digits of the wire. */
const visit = async (by: "tcp" | "memory") => {
  const { bench, clock, close } = await standBench(by);
  const prepared = await bench.prepare();
  await bench.switchOutput(true);
  await bench.commandSetPoint(90);
  const answers = [];
  for (let time = 30; time <= 300; time += 30) {
    await clock.sleepUntil(time);
    answers.push(...(await bench.read(names)));
  }
  await close();
  return { prepared, answers };
};

it("gives the same digits over sockets and in memory", async () => {
  const overTcp = await visit("tcp");
  expect(overTcp).toEqual(await visit("memory"));
  expect(overTcp.prepared).toEqual({
    ok: true,
    value: [
      { instrument: "block", identification: "Dwellpoint,simulated heat source,block,1" },
      { instrument: "readout", identification: "Dwellpoint,simulated readout,readout,1" },
      { instrument: "TT-1", identification: "Dwellpoint,simulated maintenance channel,TT-1,1" },
    ],
  });
  expect(overTcp.answers.every(({ outcome }) => outcome.ok)).toBe(true);
  expect(overTcp.answers).toHaveLength(50);
});

it("says on the wire what the catalogue's entries say, nothing else", async () => {
  const { bench, clock, frames, close } = await standBench("tcp");
  await bench.prepare();
  frames.length = 0;
  await clock.sleepUntil(10);
  await bench.read(["reference", "item-1", "item-2", "junction"]);
  await bench.read(["source"]);
  const lines = frames.map(({ direction, text }) => `${direction === "sent" ? ">" : "<"} ${text}`);
  expect(lines.filter((line) => line.startsWith(">"))).toEqual([
    "> MEASure:FRESistance? (@1)",
    "> MEASure:CURRent:DC? (@2)",
    "> MEASure:VOLTage:DC? (@3)",
    "> MEASure:TEMPerature? (@4)",
    "> MEASure:TEMPerature?",
  ]);
  expect(lines[1]).toMatch(/^< \+1\d\d\.\d{4}$/);
  expect(lines[3]).toMatch(/^< \+\d\.\d{4}E-03$/);
  expect(lines[5]).toMatch(/^< [+-]\d\.\d{4}E-03$/);
  await close();
});

it("takes several clients at one instrument, each with its own conversation", async () => {
  const { bench, simulated, close } = await standBench("tcp");
  await bench.prepare();
  const second = await connectTcp(simulated.addresses["block"]!);
  if (!second.ok) throw new Error(second.fault.message);
  const heard: string[] = [];
  const answered = new Promise<void>((resolve) => {
    second.value.listen({
      bytes: (piece) => {
        heard.push(new TextDecoder().decode(piece));
        if (heard.join("").endsWith("\n")) resolve();
      },
      closed: () => resolve(),
    });
  });
  second.value.send(new TextEncoder().encode("SOUR:TEMP:SPO 77;SPO?\n"));
  await Promise.all([answered, bench.read(["source"])]);
  expect(heard.join("")).toBe("77.000\n");
  expect(simulated.plant.setPointNow()).toBe(77);
  second.value.close();
  await close();
});

it("adjusts an item through its own channel, and knows the truth before and after", async () => {
  const { bench, simulated, clock, close } = await standBench("memory", {
    items: { "item-1": { deviation: { zero: 0.4, span: 0.2 } } },
  });
  await clock.sleepUntil(60);
  expect(await bench.adjustItem("TT-1", -0.4, -0.2)).toEqual({ ok: true, value: null });
  expect(await bench.adjustItem("TT-1", 0.01, 0)).toEqual({ ok: true, value: null });
  expect(simulated.plant.trims("TT-1")).toEqual({ zero: -0.39, span: -0.2 });
  expect(simulated.truth("TT-1", 150)).toBeCloseTo(0.01, 9);
  expect(simulated.truth("TT-1", 150, 59)).toBeCloseTo(0.6, 9);
  await close();
});

it("changes nothing of an item when either setting is beyond the entry's limits", async () => {
  const { bench, frames, simulated, close } = await standBench("memory");
  await bench.prepare();
  frames.length = 0;
  expect(await bench.adjustItem("TT-1", 0.2, 99)).toMatchObject({
    ok: false,
    fault: {
      code: "run.limit",
      message:
        "The command for a span adjustment of 99 K was not sent: the instrument's catalogue entry allows -20 to 20 K. Correct the procedure, or the entry if it is wrong.",
    },
  });
  expect(frames.filter(({ direction }) => direction === "sent").map(({ text }) => text)).toEqual([
    "CALibration:TRIM:ZERO?",
    "CALibration:TRIM:SPAN?",
  ]);
  expect(simulated.plant.trims("TT-1")).toEqual({ zero: 0, span: 0 });
  await close();
});

it("takes the first setting back when the item refuses the second, and locks it", async () => {
  const wide = entries().map((entry) =>
    !("adjust" in entry) || entry.adjust === undefined
      ? entry
      : { ...entry, adjust: { ...entry.adjust, span: { ...entry.adjust.span, maximum: 100 } } },
  );
  const { simulated, clock, close } = await standBench("memory");
  const frames: Frame[] = [];
  const bench = openBench({
    instruments,
    channels,
    entries: wide,
    connect: simulated.connect,
    clock,
    observe: (frame) => frames.push(frame),
  });
  expect(await bench.adjustItem("TT-1", 0.2, 99)).toMatchObject({
    ok: false,
    fault: {
      code: "instrument.reported",
      message: expect.stringMatching(
        /-222 "Data out of range".*The zero adjustment made before it was taken back: the item is as it was\.$/,
      ),
    },
  });
  expect(simulated.plant.trims("TT-1")).toEqual({ zero: 0, span: 0 });
  const commands = frames.filter(
    ({ direction, text }) => direction === "sent" && text.startsWith("CAL") && !text.endsWith("?"),
  );
  expect(commands.map(({ text }) => text)).toEqual([
    "CALibration:STATe ON",
    "CALibration:TRIM:ZERO 0.2000",
    "CALibration:TRIM:SPAN 99.0000",
    "CALibration:TRIM:ZERO 0.0000",
    "CALibration:STATe OFF",
  ]);
  await bench.close();
  await close();
});

it("begins where a resumed run left off: at its time, with the trims it had made", async () => {
  const simulated = await startSimulatedBench({
    simulation: { items: { "item-1": { deviation: { zero: 0.4 }, sensor: { kind: "loop", lower: 0, upper: 150 } } } },
    instruments: [],
    channels,
    clock: { now: () => 4000 },
    trims: [{ item: "item-1", zero: -0.4, span: 0 }],
    listen: false,
  });
  expect(simulated.truth("item-1", 20)).toBeCloseTo(0, 9);
  await simulated.close();
});

describe("what cannot be", () => {
  const options = { instruments: [{ id: "block", role: "source" }] as const, channels: {}, clock: { now: () => 0 } };

  it("a simulation that makes no sense is refused at its place", async () => {
    await expect(startSimulatedBench({ ...options, simulation: { source: { class: "oven" } } })).rejects.toMatchObject({
      code: "job.invalid",
      message: expect.stringMatching(/^The simulated bench cannot be built\. bench\.simulation\.source\.class: /),
    });
  });

  it("a port that is taken is named", async () => {
    const first = await startSimulatedBench(options);
    const port = Number(first.addresses["block"]!.split(":").at(-1));
    await expect(startSimulatedBench({ ...options, listen: { port } })).rejects.toMatchObject({
      code: "station.port-in-use",
      message: `Port ${port} on 127.0.0.1 is taken by another program. Choose another with --port, or stop that program.`,
    });
    await first.close();
  });

  it("a fault that is not described rightly is refused", async () => {
    const bench = await startSimulatedBench({ ...options, listen: false });
    expect(() => bench.fault({ kind: "stuck", channel: "no such name" })).toThrow(/fault\.channel/);
    await bench.close();
  });
});
