import { readFileSync } from "node:fs";
import { PassThrough, Readable, Writable } from "node:stream";
import { describe, expect, it } from "vitest";
import type { Command, Surroundings } from "../command.ts";
import { checkCoefficientsCommand } from "./check-coefficients.ts";
import { fit } from "./fit.ts";

const answer = async (
  command: Command,
  input: string,
): Promise<{ readonly code: number; readonly lines: readonly string[] }> => {
  let text = "";
  const stdout = new Writable({
    write(chunk: Buffer, _encoding, done) {
      text += chunk.toString();
      done();
    },
  });
  const surroundings: Surroundings = {
    stdin: Readable.from([input], { objectMode: false }),
    stdout,
    stderr: new PassThrough(),
    environment: {},
    signal: new AbortController().signal,
    home: "/",
  };
  const code = await command.run([], surroundings);
  return { code, lines: text.split("\n").slice(0, -1) };
};
const one = async (command: Command, input: unknown): Promise<Record<string, unknown> & { code: number }> => {
  const { code, lines } = await answer(command, JSON.stringify(input));
  expect(lines).toHaveLength(1);
  return { ...(JSON.parse(lines[0]!) as Record<string, unknown>), code };
};
const line = [
  { x: 0, y: 1 },
  { x: 1, y: 3 },
  { x: 2, y: 5.1 },
];

describe("fit", () => {
  it("gives everything that the contract names, in lists for a polynomial", async () => {
    const { code, ...result } = await one(fit, { model: "polynomial", degree: 1, points: line });
    expect(code).toBe(0);
    expect(result["coefficients"]).toEqual([expect.closeTo(0.983333333333, 10), expect.closeTo(2.05, 12)]);
    expect(result["standardErrors"]).toHaveLength(2);
    expect(result["covariance"]).toHaveLength(2);
    expect(result["residuals"]).toHaveLength(3);
    expect(result["residualStandardDeviation"]).toBeCloseTo(0.0408248, 6);
    expect(result["degreesOfFreedom"]).toBe(1);
    expect(result).not.toHaveProperty("sensor");
    expect(result).not.toHaveProperty("band");
  });

  it("names the coefficients of platinum, and gives a sensor to go on with", async () => {
    const points = [0, 50, 100, 150].map((x) => ({ x, y: 100 * (1 + 3.9083e-3 * x - 5.775e-7 * x * x), u: 0.001 }));
    const result = await one(fit, { model: "callendar-van-dusen", points, at: [25, 125] });
    expect(result["coefficients"]).toEqual({
      r0: expect.closeTo(100, 9),
      a: expect.closeTo(3.9083e-3, 12),
      b: expect.closeTo(-5.775e-7, 14),
    });
    expect(Object.keys(result["standardErrors"] as object)).toEqual(["r0", "a", "b"]);
    expect(result["names"]).toEqual(["r0", "a", "b"]);
    expect(result["sensor"]).toMatchObject({ kind: "platinum", equation: "callendar-van-dusen" });
    expect(result["band"]).toMatchObject([{ temperature: 25 }, { temperature: 125 }]);
  });

  it("takes one object over several lines, and a line per object", async () => {
    const question = { model: "polynomial", degree: 1, points: line };
    const spread = await answer(fit, JSON.stringify(question, null, 2));
    const lines = await answer(fit, `${JSON.stringify(question)}\n${JSON.stringify({ ...question, degree: 0 })}\n`);
    expect(lines.lines).toHaveLength(2);
    expect(spread.lines).toEqual([lines.lines[0]]);
    expect([spread.code, lines.code]).toEqual([0, 0]);
  });

  it.each<[string, unknown, string, RegExp]>([
    ["an unknown model", { model: "spline", points: line }, "input.invalid", /^model: /],
    ["an unknown field", { model: "polynomial", degree: 1, points: line, weight: 1 }, "input.invalid", /weight/],
    [
      "text for a number",
      { model: "polynomial", degree: 1, points: [{ x: "0", y: 1 }] },
      "input.invalid",
      /points\.0\.x/,
    ],
    ["no points", { model: "polynomial", degree: 1 }, "input.invalid", /points/],
    ["no object", 7, "input.invalid", /model/],
    ["too few points", { model: "polynomial", degree: 3, points: line }, "fit.impossible", /do not determine/],
    ["a bad list of temperatures", { model: "polynomial", degree: 1, points: line, at: 5 }, "input.invalid", /"at"/],
    ["a bad temperature", { model: "polynomial", degree: 1, points: line, at: ["x"] }, "input.invalid", /"at"/],
    [
      "a band beyond the points",
      { model: "polynomial", degree: 1, points: line, at: [3] },
      "thermometry.out-of-range",
      /reach from 0 °C to 2 °C/,
    ],
    [
      "a band without uncertainty",
      { model: "polynomial", degree: 2, points: line, at: [1] },
      "fit.impossible",
      /nothing is left/,
    ],
  ])("answers an error for %s", async (_, input, code, sentence) => {
    const result = await one(fit, input);
    expect(result).toMatchObject({ code: 1, error: { code, message: expect.stringMatching(sentence) as string } });
  });

  it.each([
    ["{", /not JSON/],
    ["", /not JSON/],
    ["what\n{}", /not JSON/],
  ])("says that %j is not JSON", async (input, sentence) => {
    const { code, lines } = await answer(fit, input);
    expect(code).toBe(1);
    expect(JSON.parse(lines[0]!)).toMatchObject({
      error: { code: "input.malformed", message: expect.stringMatching(sentence) as string },
    });
  });

  it("takes no words", () => {
    expect(() => fit.run(["x"], {} as Surroundings)).toThrow(/takes no words/);
  });
});

describe("check-coefficients", () => {
  const sensor = {
    kind: "platinum",
    equation: "callendar-van-dusen",
    r0: 100,
    a: 3.9083e-3,
    b: -5.775e-7,
    c: -4.183e-12,
  };
  const checkValues = [
    { temperature: -100, signal: "60.2558" },
    { temperature: 100, signal: "138.5055" },
    { temperature: 200, signal: "175.8560" },
  ];

  it("agrees with what is right", async () => {
    expect(await one(checkCoefficientsCommand, { sensor, checkValues })).toMatchObject({
      code: 0,
      verdict: "agree",
      slips: [],
    });
  });

  it("finds a slip, gives the corrected sensor, and exits 1", async () => {
    const result = await one(checkCoefficientsCommand, { sensor: { ...sensor, b: 5.775e-7 }, checkValues });
    expect(result).toMatchObject({
      code: 1,
      verdict: "found",
      sensor,
      slips: [{ kind: "sign", corrected: { b: -5.775e-7 } }],
    });
  });

  it("answers an error for what it cannot read", async () => {
    expect(await one(checkCoefficientsCommand, { sensor })).toMatchObject({
      code: 1,
      error: { code: "input.invalid" },
    });
    expect(await one(checkCoefficientsCommand, { sensor, checkValues: [] })).toMatchObject({
      code: 1,
      error: { code: "input.invalid" },
    });
  });

  it("takes no words", async () => {
    await expect(checkCoefficientsCommand.run(["x"], {} as Surroundings)).rejects.toThrow(/takes no words/);
  });
});

describe("examples in docs/science/fits.md", () => {
  const page = readFileSync(new URL("../../../docs/science/fits.md", import.meta.url), "utf8");
  const examples = [
    ...page.matchAll(/```console\n\$ echo '(.*)' \| dwellpoint (fit|check-coefficients)\n(.*)\n```/g),
  ].map(([, input, command, output]) => [command!, input!, output!] as const);

  it("are there", () => expect(examples).toHaveLength(4));

  it.each(examples)("dwellpoint %s: %s", async (command, input, output) => {
    const { lines } = await answer(command === "fit" ? fit : checkCoefficientsCommand, `${input}\n`);
    expect(lines).toEqual([output]);
  });
});
