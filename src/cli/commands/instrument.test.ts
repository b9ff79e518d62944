import { once } from "node:events";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { text } from "node:stream/consumers";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { main } from "../main.ts";

const home = join(import.meta.dirname, "../../..");
let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "instrument-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const instrument = async (...words: readonly string[]) => {
  const stdout = new PassThrough();
  const stderr = new PassThrough();
  const code = await main(["instrument", ...words], {
    stdin: new PassThrough(),
    stdout,
    stderr,
    environment: {},
    signal: new AbortController().signal,
    home,
  });
  stdout.end();
  stderr.end();
  const [said, complaint] = await Promise.all([text(stdout), text(stderr)]);
  const lines = () =>
    said
      .split("\n")
      .filter((line) => line !== "")
      .map((line) => JSON.parse(line) as Record<string, unknown>);
  const error = () => (JSON.parse(complaint) as { error: { code: string; message: string } }).error;
  return { code, said, lines, error };
};

/** A simulated bench with one instrument of an entry, and its address. */
const twin = async (entry: string, ...words: readonly string[]) => {
  const stop = new AbortController();
  const stdout = new PassThrough();
  const finished = main(["simulate", entry, ...words], {
    stdin: new PassThrough(),
    stdout,
    stderr: new PassThrough(),
    environment: {},
    signal: stop.signal,
    home,
  });
  const { addresses } = JSON.parse(String((await once(stdout, "data"))[0])) as { addresses: Record<string, string> };
  return {
    at: Object.values(addresses)[0]!,
    async close() {
      stop.abort();
      await finished;
    },
  };
};

const dialect = `
entry: own-words
revision: 1
title: Thermometer with words of its own
role: readout
transport: {kind: tcp-socket, end: cr}
identify: {ask: "ID?"}
read:
  °C: {ask: "T{input}", shape: "T{input}={value} C", answers: °C, inputs: {first: 1, last: 2}}
`;

describe.each([
  ["scpi-thermometer-readout", [], "Ω"],
  ["scpi-multimeter", ["--serial"], "Ω"],
  ["modbus-transmitter", [], "°C"],
  ["modbus-transmitter", ["--serial"], "°C"],
  ["modbus-heat-source", [], "°C"],
  ["talk-only-line", ["--serial"], "°C"],
] as const)("try %s with its twin %j", (entry, words, unit) => {
  it("shows what went over the wire and what was understood", async () => {
    const { at, close } = await twin(entry, ...words);
    const { code, lines } = await instrument("try", entry, "--at", at, "--unit", unit, "--input", "1");
    await close();
    expect(code).toBe(0);
    const said = lines();
    expect(said[0]).toMatchObject({ direction: "opened", text: at });
    expect(said.some(({ direction }) => direction === "received")).toBe(true);
    expect(said.find((line) => "identity" in line)).toBeDefined();
    expect(said.find((line) => "value" in line)).toMatchObject({ unit, input: 1, value: expect.any(Number) });
  });
});

it("an author's own words have a twin too, a recording keeps the dialogue, and the replay gives the same", async () => {
  const path = join(folder, "own-words.yaml");
  await writeFile(path, dialect.replace("transport: {kind: tcp-socket, end: cr}", "transport: {kind: tcp-socket}"));
  const record = join(folder, "dialogue.jsonl");
  const { at, close } = await twin("scpi-thermometer-readout");
  // The twin of another entry does not know these words: that is said, and recorded all the same.
  const strange = await instrument("try", path, "--at", at, "--record", record);
  await close();
  expect(strange.code).toBe(1);
  expect(strange.lines().find((line) => "error" in line)).toMatchObject({ error: { code: "instrument.timeout" } });
  const frames = (await readFile(record, "utf8")).trim().split("\n");
  expect(frames.map((line) => (JSON.parse(line) as { text: string }).text)).toContain("ID?");

  const readout = await twin("scpi-thermometer-readout");
  const live = await instrument(
    "try",
    "scpi-thermometer-readout",
    "--at",
    readout.at,
    "--unit",
    "Ω",
    "--record",
    record,
  );
  await readout.close();
  const again = await instrument("try", "scpi-thermometer-readout", "--unit", "Ω", "--replay", record);
  expect([live.code, again.code]).toEqual([0, 0]);
  const value = (lines: Record<string, unknown>[]) => lines.find((line) => "value" in line);
  expect(value(again.lines())).toEqual(value(live.lines()));
});

it("a set point is commanded only when asked for", async () => {
  const { at, close } = await twin("modbus-heat-source");
  const looked = await instrument("try", "modbus-heat-source", "--at", at);
  expect(looked.said).not.toContain("write");
  const set = await instrument("try", "modbus-heat-source", "--at", at, "--set-point", "80", "--text");
  await close();
  expect(set.said).toContain("asked      write 0320 to register 0");
  expect(set.said).toContain("understood  the set point has arrived");
});

it("check says what an entry can do, and what is wrong with it", async () => {
  const right = await instrument("check", "scpi-heat-source");
  expect(right.code).toBe(0);
  expect(right.lines()[0]).toMatchObject({
    ok: true,
    role: "source",
    says: expect.arrayContaining(["OUTPut:STATe OFF"]),
  });

  const path = join(folder, "wrong.yaml");
  await writeFile(path, dialect.replace("revision: 1", "revision: one"));
  const malformed = await instrument("check", path);
  expect(malformed.code).toBe(1);
  expect(malformed.error().message).toContain(`${path}:3: revision: expected`);

  await writeFile(path, dialect.replace("answers: °C", "answers: mV"));
  const senseless = await instrument("check", path);
  expect(senseless.code).toBe(1);
  expect(senseless.error()).toMatchObject({
    code: "instrument.entry-invalid",
    message: expect.stringContaining("read.°C.answers: there is no way from mV to °C"),
  });
});

it("list, ports, and wrong words", async () => {
  expect((await instrument("list")).lines().map(({ entry }) => entry)).toContain("talk-only-line");
  expect((await instrument("ports")).code).toBe(0);
  expect((await instrument("try", "scpi-multimeter")).code).toBe(2);
  expect((await instrument("shout")).code).toBe(2);
  expect((await instrument("check", "nothing-like-it")).error().message).toContain("The catalogue has no entry");
  expect((await instrument("try", "scpi-multimeter", "--at", "here")).error().message).toContain("is not an address");
});
