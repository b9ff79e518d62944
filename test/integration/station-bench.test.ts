import { createReadStream } from "node:fs";
import { afterAll, afterEach, describe, expect, it, vi } from "vitest";
import { openPtyPair, type PtyPair } from "#bench";
import { liveMessageSchema, paths, type LiveMessage } from "#contract";
import { unwrap } from "#fault";
import { loadDocument } from "#intake";
import { benchInstrumentSchema } from "../../src/calibration/job/job.ts";
import { catalog, standExample, startTwin } from "./instruments.test-support.ts";
import { exampleText, removeScratch } from "./program.test-support.ts";
import { startStation, type StartedStation } from "./station.test-support.ts";

const ends: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});
afterAll(removeScratch);

const station = async (...ports: readonly string[]): Promise<StartedStation> => {
  const started = await startStation(undefined, {
    serialPorts: async () => ports.map((path) => ({ path, about: "adapter of the test" })),
  });
  ends.push(() => started.stop());
  return started;
};

const twin = async (...wanted: Parameters<typeof startTwin>) => {
  const started = await startTwin(...wanted);
  ends.push(started.close);
  return started;
};

const emptyLine = async (): Promise<PtyPair> => {
  const pair = await openPtyPair();
  ends.push(() => pair.close());
  return pair;
};

const pathOf = (at: string): string => at.replace(/^serial:/, "");

/** Reads the stream of live values; each message as it comes. */
const watch = async ({ fetch }: StartedStation, question: object) => {
  const stop = new AbortController();
  const messages: LiveMessage[] = [];
  const answer = await fetch(paths.benchLive, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(question),
    signal: stop.signal,
  });
  const over = (async () => {
    let rest = "";
    for await (const piece of answer.body!.pipeThrough(new TextDecoderStream())) {
      const lines = (rest + piece).split("\n");
      rest = lines.pop() ?? "";
      messages.push(...lines.map((line) => liveMessageSchema.parse(JSON.parse(line))));
    }
  })().catch(() => undefined);
  const leave = async () => {
    stop.abort();
    await over;
  };
  ends.push(leave);
  const until = (wanted: (message: LiveMessage) => boolean) =>
    vi.waitUntil(() => messages.find(wanted), { timeout: 8000, interval: 20 });
  return { answer, messages, over, until, leave };
};

describe("what there is", () => {
  it("is the catalogue with what each entry reads, the serial ports, and the addresses that jobs name", async () => {
    const { client } = await station("/dev/ttyUSB7");
    const text = (await exampleText("pt100-four-wire")).replaceAll("at: simulated", "at: tcp://192.0.2.9:5025");
    await client.addJob(text);
    const bench = await client.bench();
    expect(bench.entries.map(({ entry }) => entry)).toEqual(catalog.map(({ entry }) => entry));
    expect(bench.entries.find(({ entry }) => entry === "scpi-thermometer-readout")).toMatchObject({
      role: "readout",
      dialogue: "questions",
      transports: expect.arrayContaining(["tcp-socket", "serial"]),
      reads: expect.arrayContaining([{ unit: "Ω", first: 1, last: expect.any(Number) }]),
    });
    expect(bench.ports).toEqual([
      {
        path: "/dev/ttyUSB7",
        about: "adapter of the test",
        usedBy: null,
        addresses: [
          { transport: "serial", at: "serial:/dev/ttyUSB7" },
          { transport: "modbus-rtu", at: "modbus-rtu:/dev/ttyUSB7#1" },
        ],
      },
    ]);
    expect(bench.earlier.map(({ entry, at }) => `${entry} ${at}`)).toContain(
      "scpi-thermometer-readout tcp://192.0.2.9:5025",
    );
    expect(bench.instruments).toEqual([]);
  });
});

describe("trying an instrument", () => {
  it.each([false, true])("says what it is and reads it, with the transcript (on a serial line: %s)", async (serial) => {
    const { client } = await station();
    const { at } = await twin("scpi-thermometer-readout", { serial });
    const trial = await client.tryInstrument({ entry: "scpi-thermometer-readout", at, unit: "Ω" });
    expect(trial).toMatchObject({ said: expect.stringMatching(/^Dwellpoint,simulated /), fault: null });
    expect(trial.values).toEqual([
      { unit: "Ω", input: 1, value: expect.any(Number), wire: expect.any(String), fault: null },
    ]);
    expect(trial.transcript.map(({ direction, text }) => `${direction} ${text}`)).toContain("sent *IDN?");
  });

  it("that is a source commands nothing: it is only asked", async () => {
    const { client } = await station();
    const { at } = await twin("scpi-heat-source");
    const trial = await client.tryInstrument({ entry: "scpi-heat-source", at });
    const sent = trial.transcript.filter(({ direction }) => direction === "sent").map(({ text }) => text);
    expect(sent).toEqual(["*CLS", ...sent.slice(1)]);
    expect(sent.slice(1).every((text) => text.endsWith("?"))).toBe(true);
  });

  it("that is not there says so in words, with what to check", async () => {
    const { client } = await station();
    const { at, close } = await twin("scpi-thermometer-readout");
    await close();
    const trial = await client.tryInstrument({ entry: "scpi-thermometer-readout", at });
    expect(trial).toMatchObject({ said: null, values: [] });
    expect(trial.fault?.message).toMatch(/cannot be reached: .*Check that it is switched on/);
  });

  it("by an entry that does not speak over this way names the ways, and an address that is none how one is written", async () => {
    const { client } = await station();
    const wrongWay = await client.tryInstrument({ entry: "modbus-heat-source", at: "serial:/dev/ttyUSB0" });
    expect(wrongWay.fault?.message).toMatch(/does not speak over a serial line; it speaks over Modbus TCP/);
    const noAddress = await client.tryInstrument({ entry: "scpi-heat-source", at: "192.168.1.20" });
    expect(noAddress.fault?.message).toMatch(/tcp:\/\//);
    await expect(client.tryInstrument({ entry: "nowhere", at: "serial:any" })).rejects.toThrow(
      /has no entry "nowhere"/,
    );
  });

  it("two at once at one address wait for each other", async () => {
    const { client } = await station();
    const { at } = await twin("scpi-thermometer-readout", { serial: true });
    const question = { entry: "scpi-thermometer-readout", at, unit: "Ω" };
    const trials = await Promise.all([1, 2, 3].map(() => client.tryInstrument(question)));
    expect(trials.map(({ fault }) => fault)).toEqual([null, null, null]);
  });
});

describe("live values", () => {
  it("come about every second, say when they cease, and come again with the instrument", async () => {
    const started = await station();
    const first = await twin("scpi-thermometer-readout");
    const port = Number(first.at.split(":").at(-1));
    const { messages, until } = await watch(started, { entry: "scpi-thermometer-readout", at: first.at, unit: "Ω" });
    await until((message) => message.kind === "values");
    expect(messages[0]).toMatchObject({ kind: "said", said: expect.stringMatching(/simulated/) });
    await first.close();
    await until((message) => message.kind === "values" && message.values[0]?.fault !== null);
    const seen = messages.length;
    await twin("scpi-thermometer-readout", { port });
    await vi.waitUntil(
      () => messages.slice(seen).some((message) => message.kind === "values" && message.values[0]?.value !== null),
      { timeout: 8000, interval: 20 },
    );
  });

  it("end when the reader leaves: the line is free for another", async () => {
    const started = await station();
    const { at } = await twin("scpi-thermometer-readout", { serial: true });
    const question = { entry: "scpi-thermometer-readout", at, unit: "Ω" };
    const { until, leave } = await watch(started, question);
    await until((message) => message.kind === "values");
    await leave();
    const foreign = await started.client.tryInstrument(question);
    expect(foreign.fault).toBeNull();
  });

  it("make room for another question, and say why they ended", async () => {
    const started = await station();
    const { at } = await twin("scpi-thermometer-readout", { serial: true });
    const question = { entry: "scpi-thermometer-readout", at, unit: "Ω" };
    const { until, over, messages } = await watch(started, question);
    await until((message) => message.kind === "values");
    expect((await started.client.tryInstrument(question)).fault).toBeNull();
    await over;
    expect(messages.at(-1)).toEqual({ kind: "ended", why: expect.stringMatching(/asked something else/) });
  });

  it("of another site's page are refused", async () => {
    const { fetch } = await station();
    const answer = await fetch(paths.benchLive, {
      method: "POST",
      headers: { "content-type": "application/json", origin: "http://elsewhere.example" },
      body: JSON.stringify({ entry: "scpi-heat-source", at: "serial:any" }),
    });
    expect(answer.status).toBe(403);
  });
});

describe("which port is it on", () => {
  it("asks on every serial port: one answers, one is silent, one is not there", async () => {
    const [{ at }, silent] = [await twin("scpi-thermometer-readout", { serial: true }), await emptyLine()];
    const { client } = await station(pathOf(at), silent.outer, "/dev/ttyNOWHERE");
    const { ports } = await client.findInstrument({ entry: "scpi-thermometer-readout" });
    expect(ports.map(({ said }) => said !== null)).toEqual([true, false, false]);
    expect(ports[1]?.fault?.message).toMatch(/did not answer/);
    expect(ports[2]?.fault?.message).toMatch(/cannot be reached/);
  });

  it("sends nothing but the question for the name", async () => {
    const { inner, outer } = await emptyLine();
    const { client } = await station(outer);
    const heard: string[] = [];
    const listening = createReadStream(inner, { encoding: "utf8" });
    // A pseudo-terminal whose other side is closed ends with an error, not with an end.
    listening.on("error", () => undefined);
    listening.on("data", (text) => heard.push(String(text)));
    await client.findInstrument({ entry: "scpi-heat-source" });
    listening.destroy();
    expect(new Set(heard.join("").split("\n").filter(Boolean))).toEqual(new Set(["*IDN?"]));
  });

  it("an instrument that only talks is known by a value", async () => {
    const [{ at }, silent] = [await twin("talk-only-line", { serial: true }), await emptyLine()];
    const { client } = await station(pathOf(at), silent.outer);
    const { ports } = await client.findInstrument({ entry: "talk-only-line" });
    expect(ports[0]?.said).toMatch(/°C on input 1/);
    expect(ports[1]?.said).toBeNull();
  });
});

const standing = async () => {
  const example = await standExample();
  ends.push(() => example.bench.close());
  return example;
};

describe("while a run has an instrument", () => {
  it("nothing else talks there; live values end with the run's beginning", async () => {
    const started = await station();
    const { client } = started;
    const { job, text, bench } = await standing();
    await client.addJob(text);
    const at = bench.addresses["readout"]!;
    const question = { entry: "scpi-thermometer-readout", at, unit: "Ω" };
    const live = await watch(started, question);
    await live.until((message) => message.kind === "values");
    const { run } = await client.startRun(job.job, {});
    await live.over;
    expect(live.messages.at(-1)).toEqual({
      kind: "ended",
      why: expect.stringContaining(`A run of job ${job.job} is being begun`),
    });
    for (const ask of [
      () => client.tryInstrument(question),
      () => client.switchInstrumentOff({ entry: "scpi-heat-source", at: bench.addresses["heat-source"]! }),
    ])
      await expect(ask()).rejects.toMatchObject({ status: 409, problem: { message: expect.stringContaining(run) } });
    const refused = await watch(started, question);
    expect(refused.answer.status).toBe(409);
    expect((await client.bench()).earlier.every(({ usedBy }) => usedBy === run)).toBe(true);
  });
});

describe("keeping", () => {
  it("takes what has answered, shows its line for a job, and asks whether it is still there", async () => {
    const { client } = await station();
    const first = await twin("scpi-thermometer-readout");
    const asked = { entry: "scpi-thermometer-readout", at: first.at };
    await expect(client.keepInstrument({ name: "readout-1", ...asked })).rejects.toThrow(/Try it first/);
    const { said } = await client.tryInstrument({ ...asked, unit: "Ω" });
    const kept = await client.keepInstrument({ name: "readout-1", ...asked });
    expect(kept).toMatchObject({ name: "readout-1", role: "readout", at: first.at, said, usedBy: null });
    const line = kept.line.replace("- ", "");
    expect(unwrap(loadDocument(line, "line", benchInstrumentSchema))).toEqual({
      id: "readout-1",
      ...asked,
      role: "readout",
    });
    expect(await client.checkInstrument("readout-1")).toEqual({ state: "answers", said, fault: null });
    await first.close();
    const gone = await client.checkInstrument("readout-1");
    expect(gone).toMatchObject({ state: "silent", fault: { message: expect.stringContaining("cannot be reached") } });
    await twin("scpi-multimeter", { port: Number(first.at.split(":").at(-1)) });
    expect(await client.checkInstrument("readout-1")).toMatchObject({ state: "another" });
    expect((await client.bench()).instruments).toHaveLength(1);
    expect(await client.letInstrumentGo("readout-1")).toEqual([]);
    await expect(client.checkInstrument("readout-1")).rejects.toMatchObject({ status: 404 });
  });

  it("under the name of a kit entry, shows what stands of it in the kit", async () => {
    const { client } = await station();
    const text = (await exampleText("pt100-four-wire")).replace(/^rehearsal: true.*$/m, "");
    await client.addJob(text);
    const { kit } = await client.bench();
    expect(kit.map(({ entry, kind }) => `${entry} ${kind}`)).toEqual(["bath-2 source", "readout-3 readout"]);
    const { at } = await twin("scpi-thermometer-readout");
    await client.tryInstrument({ entry: "scpi-thermometer-readout", at });
    const asked = { entry: "scpi-thermometer-readout", at };
    const kept = await client.keepInstrument({ name: "readout-3", ...asked });
    expect(kept.kit).toMatchObject({ entry: "readout-3", serial: "30552", due: expect.stringMatching(/^2027/) });
    // A heat source's name does not make a readout of it.
    expect((await client.keepInstrument({ name: "bath-2", ...asked })).kit).toBeNull();
  });

  it("survives the station's restart", async () => {
    const before = await startStation();
    const { at } = await twin("scpi-heat-source");
    await before.client.tryInstrument({ entry: "scpi-heat-source", at });
    const kept = await before.client.keepInstrument({ name: "bath", entry: "scpi-heat-source", at });
    await before.stop();
    const after = await startStation(before.data);
    expect((await after.client.bench()).instruments).toEqual([kept]);
    await after.stop();
  });
});

it("a source is switched off when that is asked, and only a source", async () => {
  const { client } = await station();
  const { at, bench } = await twin("scpi-heat-source");
  const asked = { entry: "scpi-heat-source", at };
  bench.plant.switchOutput(true);
  expect(await client.switchInstrumentOff(asked)).toEqual({ off: true, fault: null });
  expect(bench.plant.outputOn()).toBe(false);
  await expect(client.switchInstrumentOff({ entry: "scpi-multimeter", at })).rejects.toThrow(/is no heat source/);
});
