import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, afterEach, describe, expect, test } from "vitest";
import { scaledClock, startSimulatedBench, type SimulatedBench } from "#bench";
import { parseLog } from "#calibration";
import { writeTeds } from "#intake";
import { openRecords } from "#records";
import { readCatalog } from "../../src/cli/catalog.ts";
import { main } from "../../src/cli/main.ts";
import { PassThrough, Readable } from "node:stream";
import { text } from "node:stream/consumers";
import { home, removeScratch, scratch } from "./program.test-support.ts";
import { startStation } from "./station.test-support.ts";

const ends: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});
afterAll(removeScratch);

/** The data sheet of an invented probe, as the readout says it. */
const dataSheet = (serial: number): string => {
  const teds = writeTeds({
    basic: { manufacturer: 51, model: 11, versionLetter: "A", version: 1, serial },
    sections: [],
    text: "",
  });
  if (!teds.ok) throw new Error(teds.fault.message);
  return Buffer.from(teds.value).toString("hex").toUpperCase();
};

const channels = {
  reference: { instrument: "readout", input: 1, unit: "Ω" },
  "item-1": { instrument: "readout", input: 2, unit: "Ω" },
} as const;

/** A readout that knows its probes, over a real socket. */
const readout = async (): Promise<{ bench: SimulatedBench; at: string }> => {
  const bench = await startSimulatedBench({
    simulation: { probes: { reference: dataSheet(1108) } },
    instruments: [{ id: "readout", role: "readout", entry: "probe-memory-readout" }],
    entries: readCatalog(home),
    channels,
    clock: scaledClock({ speed: 1 }),
  });
  ends.push(() => bench.close());
  return { bench, at: bench.addresses["readout"]! };
};

/** The example of a Pt100 with a readout that knows its probes; simulated, so that a whole run takes no time. */
const example = async (probe: string | null): Promise<string> => {
  const written = await readFile(join(home, "examples/pt100-four-wire.yaml"), "utf8");
  const text = written
    .replaceAll("scpi-thermometer-readout", "probe-memory-readout")
    .replace(/^ {4}serial: "1108"$/m, '    serial: "1108"\n    dataSheet: 51-11-A1-1108')
    .replace(
      /^ {2}simulation:\s*$/m,
      probe === null ? "  simulation:" : `  simulation:\n    probes: {reference: "${probe}"}`,
    );
  const short = text.replace(/^ {4}- temperature: (?!0$).*$\n/gm, "");
  expect(short).toContain("dataSheet");
  const path = join(await scratch(), "job.yaml");
  await writeFile(path, short);
  return path;
};

const dwellpoint = async (...words: readonly string[]) => {
  const [stdout, stderr] = [new PassThrough(), new PassThrough()];
  const code = await main(words, {
    stdin: Readable.from([]),
    stdout,
    stderr,
    environment: {},
    signal: new AbortController().signal,
    home,
  });
  stdout.end();
  stderr.end();
  return { code, out: await text(stdout), errors: await text(stderr) };
};

describe("a readout that says which probe is plugged in, over a socket", () => {
  test("known, exchanged, unplugged: the station names the kit entry, or says that it knows none", async () => {
    const { bench, at } = await readout();
    const station = await startStation();
    ends.push(() => station.stop());
    const { client } = station;
    await client.tryInstrument({ entry: "probe-memory-readout", at });
    await client.keepInstrument({ name: "our-readout", entry: "probe-memory-readout", at });
    expect((await client.kit()).readouts).toEqual([{ name: "our-readout", at }]);
    const unknown = await client.pluggedProbes("our-readout");
    expect(unknown.inputs).toMatchObject([
      { input: 1, said: "data sheet 51-11-A1-1108", known: null, brought: { items: [{ facts: expect.anything() }] } },
      { input: 2, said: null, known: null, brought: null, why: null },
    ]);
    // What came out of the plug is held as if it had been brought: it can be approved for a new entry at once.
    const { brought } = unknown.inputs[0]!.brought!;
    const answers = {
      id: "ref-51",
      description: "Probe (demo)",
      certificate: "NT-1",
      laboratory: "Northgate (demo)",
      date: "2026-01-10",
      due: "2036-01-10",
      uncertainty: 0.02,
      minimum: 0,
      maximum: 100,
      driftPerYear: 0.01,
    };
    expect(await client.proposeKit({ brought, answers })).toMatchObject({ missing: [{ field: "sensor" }] });
    await client.addJob(
      (await readFile(join(home, "examples/pt100-four-wire.yaml"), "utf8")).replace(
        /^rehearsal: true.*$/m,
        "rehearsal: false",
      ),
    );
    await client.approveKit({ brought, is: "ref-11", author: "Orla Penhallow (demo)", reason: "data sheet read" });
    expect((await client.pluggedProbes("our-readout")).inputs[0]).toMatchObject({ known: "ref-11" });
    bench.plug("reference", dataSheet(7));
    expect((await client.pluggedProbes("our-readout")).inputs[0]).toMatchObject({
      said: "data sheet 51-11-A1-7",
      known: null,
    });
    bench.plug("reference", null);
    bench.plug("item-1", "33C");
    expect((await client.pluggedProbes("our-readout")).inputs).toMatchObject([
      { said: null, why: null },
      { said: null, why: expect.stringContaining("33C") },
    ]);
    await expect(client.pluggedProbes("nobody")).rejects.toMatchObject({ status: 404 });
  });
});

describe("dwellpoint run with a readout that knows its probes", () => {
  const words = ["--speed", "max", "--seed", "5"] as const;

  test("goes on without a word with the job's own probe", async () => {
    const out = await scratch();
    const { code, errors } = await dwellpoint("run", await example(dataSheet(1108)), "--out", out, ...words);
    expect([code, errors]).toEqual([0, ""]);
  });

  test.each([
    ["an unknown probe", dataSheet(9), "no kit entry is known by that"],
    ["no probe", null, "Nothing that says who it is is plugged in"],
    ["a damaged data sheet", "00".repeat(32).replace(/^0/, "5"), "could not be found out"],
  ])("asks before it begins where there is %s, and leaves nothing behind", async (_, probe, sentence) => {
    const out = await scratch();
    const job = await example(probe);
    const { code, errors } = await dwellpoint("run", job, "--out", join(out, "files"), ...words);
    expect(code).toBe(1);
    expect(JSON.parse(errors)).toMatchObject({
      error: { code: "kit.another-probe", message: expect.stringContaining(sentence) },
    });
    await expect(readFile(join(out, "files"))).rejects.toThrow("ENOENT");
  });

  test("with --probe job goes on, and the log says so", async () => {
    const out = await scratch();
    const { code, out: said } = await dwellpoint(
      "run",
      await example(dataSheet(9)),
      "--out",
      out,
      ...words,
      "--probe",
      "job",
    );
    expect(code).toBe(0);
    const { log } = JSON.parse(said.trim().split("\n").at(-1)!) as { log: string };
    const notes = parseLog((await readFile(log, "utf8")).split("\n")).flatMap((event) =>
      event.kind === "note-added" ? [event.text] : [],
    );
    expect(notes[0]).toContain("Another probe is plugged in than the job is for: it says data sheet 51-11-A1-9");
  });

  test("with --probe plugged takes the known one with its newest revision, and the log says so", async () => {
    const out = await scratch();
    const job = await example(dataSheet(9));
    const data = join(out, "data");
    const records = await openRecords(data);
    const { reference } = (await import("../../src/cli/run/read-job.ts").then(({ readJob }) => readJob(job))).kit;
    const { channel: _, ...entry } = reference;
    const other = { ...entry, id: "ref-99", serial: "99", dataSheet: "51-11-A1-9" };
    await records.reviseKit({ kind: "reference", entry: other, author: "Orla Penhallow (demo)", reason: "first" });
    await records.close();
    const known = await dwellpoint("run", job, "--out", join(out, "no"), ...words, "--data", data);
    expect(JSON.parse(known.errors)).toMatchObject({ error: { code: "kit.another-probe", data: { known: "ref-99" } } });
    const { code, out: said } = await dwellpoint(
      "run",
      job,
      "--out",
      out,
      ...words,
      "--data",
      data,
      "--probe",
      "plugged",
    );
    expect(code).toBe(0);
    const { log } = JSON.parse(said.trim().split("\n").at(-1)!) as { log: string };
    const [opened] = parseLog((await readFile(log, "utf8")).split("\n"));
    expect(opened).toMatchObject({
      kind: "run-opened",
      job: { kit: { reference: { id: "ref-99", channel: "reference" } } },
    });
  });
});

describe("a run from the station's pages", () => {
  test("is refused with a question, and begun with the answer", async () => {
    const station = await startStation();
    ends.push(() => station.stop());
    const { client } = station;
    const { job } = await client.addJob(await readFile(await example(dataSheet(9)), "utf8"));
    await expect(client.startRun(job, {})).rejects.toMatchObject({
      status: 409,
      problem: { code: "kit.another-probe" },
    });
    const { run } = await client.startRun(job, { probe: "job" });
    expect((await client.runView(run)).stage).toBeDefined();
  });
});
