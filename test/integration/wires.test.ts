import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { lockStepClock, startSimulatedBench } from "#bench";
import { evaluate, wiredChannels, type Job, type RunEvent } from "#calibration";
import { createRunner, openRun, type Journal } from "#engine";
import { unwrap } from "#fault";
import { loadDocument, loadJob } from "#intake";
import { connectWire, instrumentEntrySchema, modbusBuses, openBench, type InstrumentEntry } from "#instruments";
import { exampleText, home, removeScratch, type Change } from "./program.test-support.ts";

afterAll(removeScratch);

const folder = join(home, "catalog/instruments");
const catalog: readonly InstrumentEntry[] = readdirSync(folder).map((name) =>
  unwrap(loadDocument(readFileSync(join(folder, name), "utf8"), name, instrumentEntrySchema)),
);

const twoPoints: readonly Change[] = [
  [/ {4}- temperature: -20\n {4}- temperature: 0\n/, "    - temperature: 0\n"],
  [/ {4}- temperature: 100\n {4}- temperature: 150\n/, ""],
];

/** The source by Modbus, the reference by SCPI, the item an indicator with its figure in registers: three languages. */
const threeLanguages: readonly Change[] = [
  [/ {4}- \{id: heat-source, entry: scpi-heat-source/, "    - {id: heat-source, entry: modbus-heat-source"],
  [
    / {4}- \{id: readout, entry: scpi-thermometer-readout, at: simulated, role: readout\}/,
    "    - {id: readout, entry: scpi-thermometer-readout, at: simulated, role: readout}\n    - {id: panel, entry: modbus-transmitter, at: simulated, role: readout}",
  ],
  [/ {4}item-1: \{instrument: readout, input: 2, unit: Ω\}/, "    item-1: {instrument: panel, input: 1, unit: °C}"],
];

const asIndicator: readonly Change[] = [
  [
    / {4}sensor: # what the item[^]*?\n {4}channel: item-1\n {4}unit: Ω/,
    "    sensor: {kind: indication}\n    channel: item-1\n    unit: °C",
  ],
];

/** Conducts a job with each instrument of its simulated bench where `serial` says: on a pseudo-terminal, else on a socket. */
const conduct = async (job: Job, serial: readonly string[]) => {
  const clock = lockStepClock({ speed: Number.POSITIVE_INFINITY });
  const bench = await startSimulatedBench({
    simulation: job.bench.simulation,
    instruments: job.bench.instruments,
    entries: catalog,
    channels: wiredChannels(job.bench),
    kit: job.kit,
    items: job.items,
    clock,
    listen: { serial },
  });
  const port = openBench({
    instruments: job.bench.instruments.map((instrument) => ({ ...instrument, at: bench.addresses[instrument.id]! })),
    channels: wiredChannels(job.bench),
    entries: catalog,
    connect: connectWire,
    connectRegisters: modbusBuses(),
    clock,
  });
  const opened = openRun({
    job,
    run: "RUN-1",
    opened: new Date().toISOString(),
    seed: bench.seed,
    software: { name: "dwellpoint", version: "0" },
    catalog,
  });
  const log: RunEvent[] = [opened];
  const journal: Journal = {
    append: async (drafts) => {
      const events = drafts.map((draft, index) => ({ ...draft, n: log.length + index }) as RunEvent);
      log.push(...events);
      return events;
    },
  };
  const runner = createRunner({ bench: port, clock, journal, log: [opened] });
  unwrap(await runner.start());
  unwrap(await runner.command({ command: "start", by: "Imke Torvald" }));
  const { outcome } = await runner.done;
  await port.close();
  await bench.close();
  return { outcome, log, addresses: bench.addresses, truth: bench.truth };
};

describe("a whole run", () => {
  it("over serial lines gives what it gives over sockets, digit for digit", async () => {
    const job = unwrap(loadJob(await exampleText("pt100-four-wire", twoPoints), "job.yaml"));
    const [lines, sockets] = [await conduct(job, ["heat-source", "readout"]), await conduct(job, [])];
    expect(Object.values(lines.addresses).every((at) => at.startsWith("serial:"))).toBe(true);
    expect(lines.outcome).toBe("completed");
    expect(evaluate(lines.log).items).toEqual(evaluate(sockets.log).items);
  });

  it("with three ways at once: SCPI on a serial line, a source and an item in Modbus registers on sockets", async () => {
    const text = await exampleText("pt100-four-wire", [...twoPoints, ...threeLanguages, ...asIndicator]);
    const job = unwrap(loadJob(text, "job.yaml"));
    const { outcome, log, addresses, truth } = await conduct(job, ["readout"]);
    expect(outcome).toBe("completed");
    expect(addresses["heat-source"]).toMatch(/^modbus-tcp:/);
    expect(addresses["panel"]).toMatch(/^modbus-tcp:/);
    for (const point of evaluate(log).items[0]!.passes[0]!.points) {
      if (point.status !== "measured") throw new Error("not measured");
      expect(Math.abs(point.error.value - truth("item-1", point.nominal))).toBeLessThan(2 * point.budget.U);
    }
  });
});
