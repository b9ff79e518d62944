import { readFileSync } from "node:fs";
import { PassThrough, Readable, Writable } from "node:stream";
import { finished } from "node:stream/promises";
import { describe, expect, it } from "vitest";
import type { Command, Surroundings } from "../command.ts";
import { convert } from "./convert.ts";
import { tolerance } from "./tolerance.ts";

interface Answered {
  readonly lines: string[];
  readonly code: number;
}

const surroundings = (stdin: Readable, stdout: Writable, signal = new AbortController().signal): Surroundings => ({
  stdin,
  stdout,
  stderr: new PassThrough(),
  environment: {},
  signal,
  home: "/",
});

const answer = async (command: Command, input: string | Iterable<string | Buffer>): Promise<Answered> => {
  const chunks: Buffer[] = [];
  const stdout = new Writable({
    write(chunk: Buffer, _encoding, done) {
      chunks.push(chunk);
      // Takes its time, so that the command has to wait for it.
      setImmediate(done);
    },
  });
  const code = await command.run(
    [],
    surroundings(Readable.from(typeof input === "string" ? [input] : input, { objectMode: false }), stdout),
  );
  stdout.end();
  await finished(stdout);
  const text = Buffer.concat(chunks).toString();
  expect(text === "" || text.endsWith("\n")).toBe(true);
  return { lines: text.split("\n").slice(0, -1), code };
};
const line = (value: unknown): string => `${JSON.stringify(value)}\n`;
const typeK = { kind: "thermocouple", type: "K" };
const errorOf = (text: string): { readonly code: string; readonly message: string } =>
  (JSON.parse(text) as { readonly error: { readonly code: string; readonly message: string } }).error;

describe("convert", () => {
  it("answers a line per line, in order, both ways", async () => {
    const { lines, code } = await answer(
      convert,
      line({ sensor: typeK, signal: 4.096 }) +
        line({ sensor: typeK, temperature: 100, coldJunction: 20 }) +
        line({ sensor: { kind: "loop", lower: 0, upper: 160 }, signal: 12 }),
    );
    const [first, second, third] = lines.map((text) => JSON.parse(text) as Record<string, number>);
    expect(Object.keys(first!)).toEqual(["temperature", "signal", "slope"]);
    expect(first!["temperature"]).toBeCloseTo(100, 1);
    expect(second!["signal"]).toBeCloseTo(4.096 - 0.798, 2);
    expect(third).toEqual({ temperature: 80, signal: 12, slope: 0.1 });
    expect(code).toBe(0);
  });

  it("puts an error in place of a bad line and goes on", async () => {
    const good = line({ sensor: typeK, temperature: 0 });
    const { lines, code } = await answer(convert, `${good}not json\n\n[1]\n${good}`);
    expect(lines).toHaveLength(5);
    expect(lines[0]).toBe('{"temperature":0,"signal":0,"slope":0.039450128025}');
    expect(lines[4]).toBe(lines[0]);
    expect(errorOf(lines[1]!)).toMatchObject({
      code: "input.malformed",
      message: expect.stringMatching(/^Line 2 is not JSON/) as string,
    });
    expect(errorOf(lines[2]!)).toMatchObject({
      code: "input.malformed",
      message: expect.stringMatching(/^Line 3 is not JSON: it is empty/) as string,
    });
    expect(errorOf(lines[3]!).code).toBe("input.invalid");
    expect(code).toBe(1);
  });

  it.each([
    [
      "a type that is not there",
      { sensor: { kind: "thermocouple", type: "Z" }, signal: 1 },
      "input.invalid",
      /sensor\.type/,
    ],
    ["a kind that is not there", { sensor: { kind: "crystal" }, signal: 1 }, "input.invalid", /sensor/],
    ["no sensor", { signal: 1 }, "input.invalid", /sensor/],
    ["a sensor with a field too many", { sensor: { ...typeK, typo: 1 }, signal: 1 }, "input.invalid", /typo/],
    ["neither signal nor temperature", { sensor: typeK }, "input.invalid", /either/],
    ["both of them", { sensor: typeK, signal: 1, temperature: 2 }, "input.invalid", /either/],
    ["a signal that is a text", { sensor: typeK, signal: "1" }, "input.invalid", /"signal" must be a finite number/],
    [
      "a reference junction that is nothing",
      { sensor: typeK, signal: 1, coldJunction: null },
      "input.invalid",
      /coldJunction/,
    ],
    ["a mistyped field", { sensor: typeK, signal: 1, coldjunction: 20 }, "input.invalid", /no field "coldjunction"/],
    ["a signal out of range", { sensor: typeK, signal: 100 }, "thermometry.out-of-range", /type K/],
    [
      "a failure signal",
      { sensor: { kind: "loop", lower: 0, upper: 100 }, signal: 3.6 },
      "loop.failure-signal",
      /NE 43/,
    ],
    [
      "type B's start",
      { sensor: { kind: "thermocouple", type: "B" }, signal: 0 },
      "thermometry.ambiguous",
      /more than one/,
    ],
  ])("says what is wrong with %s", async (_, input, code, sentence) => {
    const { lines, code: exit } = await answer(convert, line(input));
    expect(errorOf(lines[0]!)).toMatchObject({ code, message: expect.stringMatching(sentence) as string });
    expect(exit).toBe(1);
  });

  it("refuses an infinity that JSON can smuggle in", async () => {
    const { lines } = await answer(convert, '{"sensor":{"kind":"indication"},"signal":1e999}\n');
    expect(errorOf(lines[0]!).code).toBe("input.invalid");
  });

  it("takes input in any pieces, with carriage returns, a byte order mark and no last line end", async () => {
    const text = `\uFEFF{"sensor":{"kind":"indication"},"signal":1}\r\n{"sensor":{"kind":"indication"},"signal":2}`;
    const bytes = Buffer.from(text);
    const { lines, code } = await answer(
      convert,
      Array.from(bytes, (_, index) => bytes.subarray(index, index + 1)),
    );
    expect(lines).toEqual(['{"temperature":1,"signal":1,"slope":1}', '{"temperature":2,"signal":2,"slope":1}']);
    expect(code).toBe(0);
    expect(await answer(convert, "")).toEqual({ lines: [], code: 0 });
  });

  it("refuses a line beyond all bounds and goes on behind it", async () => {
    const parts = Array.from({ length: 60 }, () => "x".repeat(100_000));
    const { lines } = await answer(convert, [...parts, "\n", line({ sensor: { kind: "indication" }, signal: 3 })]);
    expect(lines).toHaveLength(2);
    expect(errorOf(lines[0]!).message).toMatch(/longer than/);
    expect(JSON.parse(lines[1]!)).toMatchObject({ temperature: 3 });
  });

  it("reads no faster than its output is taken", async () => {
    let taken = 0;
    const source = Readable.from(
      (function* make() {
        for (; taken < 5000; taken += 1) yield line({ sensor: typeK, signal: 5 }).repeat(50);
      })(),
      { objectMode: false },
    );
    const stuck = new Writable({ write: () => undefined, highWaterMark: 1024 });
    const stop = new AbortController();
    const running = convert.run([], surroundings(source, stuck, stop.signal));
    await new Promise((resolve) => setTimeout(resolve, 150));
    expect(taken).toBeLessThan(200);
    stuck.destroy(Object.assign(new Error("write EPIPE"), { code: "EPIPE" }));
    expect(await running).toBe(0);
  });

  it("stops when it is told to", async () => {
    const stop = new AbortController();
    const stdin = new PassThrough();
    const running = convert.run([], surroundings(stdin, new PassThrough(), stop.signal));
    stop.abort("SIGINT");
    expect(await running).toBe(0);
    expect(stdin.destroyed).toBe(true);
  });

  it("passes on what is wrong with its output, unless the reader has only gone away", async () => {
    const broken = new Writable({
      write: (_chunk, _encoding, done) => done(Object.assign(new Error("disk full"), { code: "ENOSPC" })),
      highWaterMark: 1,
    });
    await expect(
      convert.run([], surroundings(Readable.from([line({ sensor: typeK, signal: 1 })], { objectMode: false }), broken)),
    ).rejects.toThrow("disk full");
  });

  it("takes no words", () => {
    expect(() => convert.run(["file.jsonl"], surroundings(new PassThrough(), new PassThrough()))).toThrow(
      /takes no words/,
    );
  });
});

describe("tolerance", () => {
  it("answers limits, or says where a class is defined", async () => {
    const { lines, code } = await answer(
      tolerance,
      line({ class: "iec-60584-1/1", type: "K", temperature: 400 }) +
        line({ class: "iec-60751/B", temperature: 150 }) +
        line({ class: "iec-60751/AA", temperature: 200, construction: "film" }),
    );
    expect(lines.slice(0, 2)).toEqual(['{"lower":-1.6,"upper":1.6}', '{"lower":-1.05,"upper":1.05}']);
    expect(errorOf(lines[2]!)).toMatchObject({
      code: "tolerance.undefined",
      message: expect.stringContaining("0 °C to 150 °C") as string,
    });
    expect(code).toBe(1);
  });

  it.each([
    ["a class that is not there", { class: "iec-60584-1/4", type: "K", temperature: 1 }, /"class" must be one of/],
    ["a missing type", { class: "astm-e230/special", temperature: 1 }, /"type" must be one of B, E/],
    ["a temperature that is a text", { class: "iec-60751/A", temperature: "1" }, /finite number/],
    [
      "a construction that is not there",
      { class: "iec-60751/A", temperature: 1, construction: "glass" },
      /wire-wound, film/,
    ],
    ["a mistyped field", { class: "iec-60751/A", temperature: 1, tpye: "K" }, /no field "tpye"/],
  ])("says what is wrong with %s", async (_, input, sentence) => {
    const { lines } = await answer(tolerance, line(input));
    expect(errorOf(lines[0]!)).toMatchObject({
      code: "input.invalid",
      message: expect.stringMatching(sentence) as string,
    });
  });

  it("takes no words", () => {
    expect(() => tolerance.run(["x"], surroundings(new PassThrough(), new PassThrough()))).toThrow(/takes no words/);
  });
});

describe("examples in docs/science/thermometry.md", () => {
  const page = readFileSync(new URL("../../../docs/science/thermometry.md", import.meta.url), "utf8");
  const examples = [...page.matchAll(/```console\n\$ echo '(.*)' \| dwellpoint (convert|tolerance)\n(.*)\n```/g)].map(
    ([, input, command, output]) => [command!, input!, output!] as const,
  );

  it("are there", () => expect(examples.length).toBeGreaterThan(5));

  it.each(examples)("dwellpoint %s: %s", async (command, input, output) => {
    const { lines } = await answer(command === "convert" ? convert : tolerance, `${input}\n`);
    expect(lines).toEqual([output]);
  });
});
