import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { afterAll, afterEach, describe, expect, it } from "vitest";
import { evaluate, parseLog, type RunEvent } from "#calibration";
import type { RunView, StationClient } from "#contract";
import { seededGenerator } from "#numerics";
import { main } from "../../src/cli/main.ts";
import { exampleFile, exampleText, home, removeScratch, scratch, type Change } from "./program.test-support.ts";
import { startStation, untilView, type StartedStation } from "./station.test-support.ts";

const started: StartedStation[] = [];
afterEach(async () => {
  for (const station of started.splice(0)) await station.stop();
});
afterAll(removeScratch);

const onePoint: readonly Change[] = [[/ {4}- temperature: 85\n {4}- temperature: 130\n/, ""]];
const twoPoints: readonly Change[] = [[/ {4}- temperature: 80\n/, ""]];
const by = "Orla Penhallow (demo)";

/** What a person sees on a dial that is off by so much: a pointer that trembles, read to a step. */
const dialEye = (seed: number, error: number, step: number) => {
  const random = seededGenerator(seed);
  return (temperature: number): string => {
    const seen = temperature + error + 0.05 * random.normal();
    return (Math.round(seen / step) * step).toFixed(1).replace(".", ",");
  };
};

/** Answers whatever a run asks of hands, until it has ended. */
const answerUntilEnd = async (
  client: StationClient,
  run: string,
  typedFor: (view: RunView, channel: string) => string,
): Promise<RunView> => {
  for (;;) {
    const view = await untilView(
      client,
      run,
      ({ stage, hand }) => stage === "ended" || hand?.asked != null || hand?.question != null || hand?.setPoint != null,
    );
    if (view.stage === "ended") return view;
    const channel = view.hand?.asked?.channels[0];
    if (view.hand?.setPoint != null) await client.command(run, { command: "confirm-set-point", by });
    else if (view.hand?.question != null) await client.command(run, { command: "confirm-reading", by });
    else if (channel !== undefined)
      await client.command(run, { command: "enter-reading", by, channel, typed: typedFor(view, channel) });
  }
};

const logOf = async ({ fetch }: StartedStation, run: string): Promise<readonly RunEvent[]> => {
  const answer = await fetch(`/api/runs/${run}/log`);
  return parseLog((await answer.text()).trimEnd().split("\n"));
};

const errorsOf = (log: readonly RunEvent[]) =>
  evaluate(log).items[0]!.passes[0]!.points.map((point) => {
    if (point.status !== "measured") throw new Error(point.reason);
    return { error: point.error.value, U: point.budget.U, readings: point.readings };
  });

describe("a run in which a person reads the item", () => {
  it("goes over the station to its certificate, the error found within its uncertainty", async () => {
    const station = await startStation();
    started.push(station);
    const { client } = station;
    await client.addJob(await exampleText("dial-thermometer", onePoint));
    const { run } = await client.startRun("CV-2611-021", { speed: 1000, seed: 118 });
    await client.command(run, { command: "start", by });
    const eye = dialEye(3, 0.6, 0.5);
    const ended = await answerUntilEnd(client, run, ({ reference }) => eye(reference!.temperature!));
    expect(ended.outcome).toBe("completed");
    const [point] = errorsOf(await logOf(station, run));
    expect(point!.readings).toBeGreaterThanOrEqual(6);
    expect(Math.abs(point!.error - 0.6)).toBeLessThan(point!.U);
    const summary = await client.issue(run, { authorisedBy: "Idris Farrowby (demo)" });
    expect(summary).toMatchObject({ run, number: expect.stringMatching(/./) });
  });

  it("asks back what is not likely, and lists what was withdrawn with its reason", async () => {
    const station = await startStation();
    started.push(station);
    const { client } = station;
    await client.addJob(await exampleText("dial-thermometer", onePoint));
    const { run } = await client.startRun("CV-2611-021", { speed: 200, seed: 118 });
    await client.command(run, { command: "start", by });
    await untilView(client, run, ({ hand }) => hand?.asked != null);
    const send = (typed: string) => client.command(run, { command: "enter-reading", by, channel: "item-1", typed });
    const questioned = await send("405");
    expect(questioned.hand!.question).toMatchObject({
      typed: "405",
      question: expect.stringMatching(/Is it 40\.5\?$/),
    });
    expect(questioned.commands).toContain("confirm-reading");
    const taken = await send("40,5");
    expect(taken.hand).toMatchObject({ question: null, asked: null });
    await expect(send("40.5 °F")).rejects.toThrow(/read in °C, not in °F/);
    await expect(send("forty")).rejects.toThrow(/not a number/);
    const after = await client.command(run, {
      command: "withdraw-reading",
      by,
      channel: "item-1",
      reason: "the wrong dial",
    });
    expect(after.hand!.readings).toMatchObject([{ typed: "40,5", withdrawn: { reason: "the wrong dial", by } }]);
    await client.command(run, { command: "stop", by, reason: "seen enough" });
    const log = await logOf(station, run);
    expect(log.filter(({ kind }) => kind === "reading-questioned")).toHaveLength(1);
    expect(log.filter(({ kind }) => kind === "reading-rejected")).toHaveLength(1);
  });
});

describe("a run in which everything is done by hand", () => {
  it("goes over the station to its certificate without one instrument", async () => {
    const station = await startStation();
    started.push(station);
    const { client } = station;
    await client.addJob(await exampleText("everything-by-hand", twoPoints));
    const { run } = await client.startRun("CV-2611-022", { speed: 1500, seed: 1 });
    await client.command(run, { command: "start", by });
    const random = seededGenerator(22);
    const eye = dialEye(4, 0.2, 0.2);
    const ended = await answerUntilEnd(client, run, ({ setPoint }, channel) =>
      channel === "reference" ? (setPoint! - 0.06 + 0.01 * random.normal()).toFixed(2) : eye(setPoint! - 0.06),
    );
    expect(ended.outcome).toBe("completed");
    expect(ended.sentence.now).toMatch(/Switch the source off at its own switch/);
    const log = await logOf(station, run);
    // Nothing is said of the source that nobody did.
    expect(log.some(({ kind }) => kind === "output-switched")).toBe(false);
    for (const { error, U } of errorsOf(log)) expect(Math.abs(error - 0.2)).toBeLessThan(U);
    expect(await client.issue(run, { authorisedBy: "Idris Farrowby (demo)" })).toMatchObject({ run });
  });
});

/** The command line in a pipe, answered line by line. */
const runInPipe = async (words: readonly string[], answer: (wanted: Record<string, unknown>) => unknown) => {
  const stdin = new PassThrough();
  const stdout = new PassThrough();
  const stderr = new PassThrough();
  const lines: Record<string, unknown>[] = [];
  let rest = "";
  stdout.on("data", (chunk: Buffer) => {
    const parts = (rest + chunk.toString()).split("\n");
    rest = parts.pop() ?? "";
    for (const part of parts) {
      const line = JSON.parse(part) as Record<string, unknown>;
      lines.push(line);
      if (line["kind"] !== "wanted") continue;
      const given = answer(line);
      if (given === null) stdin.end();
      else stdin.write(`${JSON.stringify(given)}\n`);
    }
  });
  const code = await main(words, {
    stdin,
    stdout,
    stderr,
    environment: { CI: "true" },
    signal: new AbortController().signal,
    home,
  });
  return { code, lines, error: String(stderr.read() ?? "") };
};

describe("the command line in a pipe", () => {
  it("reads answers as JSON Lines, while the simulated time waits for them", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "dial-thermometer", onePoint);
    const eye = dialEye(5, -0.3, 0.5);
    const { code, lines } = await runInPipe(
      ["run", job, "--out", folder, "--speed", "max", "--seed", "7"],
      (wanted) => ({
        typed: eye(wanted["reference"] as number),
      }),
    );
    expect(code).toBe(0);
    const summary = lines.at(-1)!;
    expect(summary).toMatchObject({ kind: "summary", outcome: "completed" });
    const log = parseLog(
      (await readFile(join(folder, `${String(summary["run"])}.log.jsonl`), "utf8")).trimEnd().split("\n"),
    );
    const asked = log.filter((event) => event.kind === "reading-asked");
    const typed = log.filter((event) => event.kind === "readings-taken" && event.by !== undefined);
    // An answer comes before the clock has gone on by more than a round of questions.
    typed.forEach((event, index) => expect(event.at - asked[index]!.at).toBeLessThanOrEqual(2));
    const [point] = errorsOf(log);
    expect(Math.abs(point!.error + 0.3)).toBeLessThan(point!.U);
  });

  it("says clearly that nobody answers where the input has ended, and keeps the run", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "everything-by-hand");
    const { code, error } = await runInPipe(["run", job, "--out", folder, "--speed", "max"], () => null);
    expect(code).toBe(1);
    expect(error).toMatch(/Set the source to 20 °C.*Nobody can answer here.*standard input.*--resume/);
  });
});

/** The command line on a terminal: what it asks is answered as somebody would type it. */
const runOnTerminal = async (words: readonly string[], answer: (prompt: string) => string) => {
  const stdin = Object.assign(new PassThrough(), { isTTY: true });
  const stdout = Object.assign(new PassThrough(), { isTTY: true, columns: 100 });
  const stderr = new PassThrough();
  const prompts: string[] = [];
  let text = "";
  stdout.on("data", (chunk: Buffer) => {
    text += chunk.toString();
    if (!text.endsWith("> ") && !/> .\[\d+G$/.test(text)) return;
    prompts.push(text);
    text = "";
    stdin.write(`${answer(prompts.at(-1)!)}\n`);
  });
  const code = await main(words, {
    stdin,
    stdout,
    stderr,
    environment: {},
    signal: new AbortController().signal,
    home,
  });
  return { code, prompts, rest: text, error: String(stderr.read() ?? "") };
};

describe("the command line on a terminal", () => {
  it("prompts for each reading, takes a slip back, asks back, has enough, and asks for the closing check [E61]", async () => {
    const folder = await scratch();
    const check =
      "  closingCheck: {kind: check-thermometer, temperature: 40, description: check probe, serial: C-1, certificate: IRL-26-0600, uncertainty: 0.03, limit: 0.3}\n  decision:";
    const job = await exampleFile(folder, "dial-thermometer", [...onePoint, ["  decision:", check]]);
    const answers = ["40,5", "t", "40.5", "nonsense", "405", "40.5", "40.5", "e"];
    const { code, prompts, rest } = await runOnTerminal(
      ["run", job, "--out", folder, "--speed", "max", "--seed", "3"],
      (prompt) => (prompt.includes("check thermometer shows") ? "40,03" : (answers.shift() ?? "40.5")),
    );
    expect(prompts[0]).toMatch(/Read TI-118 \(1 of 6, \[p\]ause, \[s\]top\)/);
    expect(prompts[1]).toMatch(/Read TI-118 \(2 of 6, last 40,5, \[t\]ake the last one back/);
    expect(prompts.join("")).toContain("is not a number");
    expect(prompts.find((prompt) => prompt.includes("as read"))).toMatch(
      /Is it 40\.5\? \[y\]es, as read; or type it again/,
    );
    expect(prompts.find((prompt) => prompt.includes("[e]nough"))).toBeDefined();
    expect(prompts.at(-1)).toContain("Type what the check thermometer shows");
    expect(rest).toMatch(/TI-118 as-found: pass/);
    expect(code).toBe(0);
    const [name] = (await readdir(folder)).filter((each) => each.endsWith(".log.jsonl"));
    const log = parseLog((await readFile(join(folder, name!), "utf8")).trimEnd().split("\n"));
    expect(log.find((event) => event.kind === "check-measured")).toMatchObject({ typed: 40.03 });
    expect(log.filter((event) => event.kind === "reading-rejected")).toHaveLength(1);
    expect(errorsOf(log)[0]!.readings).toBe(3);
  });
});
