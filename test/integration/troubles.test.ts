import { spawn, type ChildProcess } from "node:child_process";
import { cp, mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { createServer } from "node:net";
import { join } from "node:path";
import { afterAll, afterEach, describe, expect, it } from "vitest";
import { parseLog } from "#calibration";
import { ReadOnlyFolder } from "../../src/records/read-only-folder.test-support.ts";
import {
  dwellpoint,
  exampleFile,
  exampleText,
  home,
  removeScratch,
  scratch,
  type Change,
} from "./program.test-support.ts";
import { startStation, untilView } from "./station.test-support.ts";

afterAll(removeScratch);

/** A program folder whose catalogue waits less for an answer, so that silence is noticed within the time of a test. */
const hastyHome = async (): Promise<string> => {
  const folder = await scratch();
  await cp(join(home, "package.json"), join(folder, "package.json"));
  const entries = join("catalog", "instruments");
  await mkdir(join(folder, entries), { recursive: true });
  for (const name of await readdir(join(home, entries))) {
    const text = await readFile(join(home, entries, name), "utf8");
    await writeFile(join(folder, entries, name), text.replaceAll(/timeout: \d+/g, "timeout: 0.1"));
  }
  return folder;
};

const fault = (example: string, written: string): Change => [
  example === "type-k-thermocouple" ? "    ambient: 24\n" : "    ambient: 22\n",
  `    ambient: 23\n    faults:\n      - ${written}\n`,
];

/** Runs an example with a fault on its bench; gives the error that the user gets and the log that stays. */
const troubled = async (example: string, written: string) => {
  const folder = await scratch();
  const job = await exampleFile(folder, example, [fault(example, written)]);
  const out = join(folder, "out");
  const answer = await dwellpoint(["run", job, "--out", out, "--speed", "max", "--seed", "5"], {
    home: await hastyHome(),
  });
  const [name] = (await readdir(out)).filter((each) => each.endsWith(".log.jsonl"));
  const log = parseLog((await readFile(join(out, name!), "utf8")).split("\n"));
  return { ...answer, log, path: join(out, name!) };
};

describe("a trouble on the bench: the sentence that the user gets, the run paused in its log, the source without heat", () => {
  it.each([
    {
      what: "silent instrument",
      example: "pt100-four-wire",
      written: "{kind: drop-out, instrument: readout, at: 200}",
      code: "instrument.timeout",
      sentence: /"readout".*did not answer/,
    },
    {
      what: "garbled reply",
      example: "pt100-four-wire",
      written: "{kind: garbled, instrument: readout, at: 200}",
      code: "instrument.garbled",
      sentence: /"readout".*answered/,
    },
    {
      what: "open thermocouple",
      example: "type-k-thermocouple",
      written: "{kind: open-circuit, channel: item-1, at: 200}",
      code: "signal.open-circuit",
      sentence: /circuit of TE-118 is open.*Check the plug/,
    },
    {
      what: "reversed thermocouple",
      example: "type-k-thermocouple",
      written: "{kind: reversed, channel: item-1}",
      code: "signal.reversed",
      sentence: /TE-118.*revers|TE-118.*exchang|TE-118 moves the wrong way/,
    },
  ])(
    "$what",
    async ({ example, written, code, sentence }) => {
      const { code: exit, error, lines, log, path } = await troubled(example, written);
      expect(exit).toBe(1);
      expect(error).toMatchObject({ code, message: expect.stringMatching(sentence) });
      expect(error!.message).toContain(`dwellpoint run --resume ${path}`);
      expect(lines.at(-1)).toMatchObject({ kind: "summary", outcome: "waiting", log: path });
      expect(log.filter(({ kind }) => kind === "fault-seen").at(-1)).toMatchObject({ code });
      expect(log.at(-1)).toMatchObject({ kind: "run-paused" });
    },
    60_000,
  );

  it("and after the trouble is put right the run goes on from its log to the certificate", async () => {
    const { path, log } = await troubled(
      "pt100-four-wire",
      "{kind: open-circuit, channel: item-1, at: 900, until: 950}",
    );
    const measured = log.filter(({ kind }) => kind === "point-measured").length;
    expect(measured).toBeGreaterThan(0);
    // The bench of the same seed is free of the fault once its time has come.
    let answer = await dwellpoint(["run", "--resume", path, "--speed", "max"]);
    for (let count = 0; answer.code !== 0 && count < 30; count += 1)
      answer = await dwellpoint(["run", "--resume", path, "--speed", "max"]);
    expect(answer.error).toBeNull();
    const whole = parseLog((await readFile(path, "utf8")).split("\n"));
    expect(whole.slice(0, log.length)).toEqual(log);
    expect(whole.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
  }, 60_000);

  it("no instrument at its address: said at once, and no log is left behind", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire", [
      [/entry: scpi-heat-source, at: simulated/, "entry: scpi-heat-source, at: tcp://127.0.0.1:1"],
      [/readout, at: simulated/, "readout, at: tcp://127.0.0.1:1"],
    ]);
    const { code, error } = await dwellpoint(["run", job, "--out", join(folder, "out")]);
    expect(code).toBe(1);
    expect(error).toMatchObject({
      code: "instrument.unreachable",
      message: expect.stringMatching(/tcp:\/\/127\.0\.0\.1:1.*connection refused/s),
    });
    expect(await readdir(join(folder, "out"))).toEqual([]);
  });

  it("the station pauses the run, says so in the view, and goes on after resume", async () => {
    const started = await startStation();
    try {
      const text = await exampleText("pt100-four-wire", [
        fault("pt100-four-wire", "{kind: open-circuit, channel: item-1, at: 300, until: 320}"),
      ]);
      const { job } = await started.client.addJob(text);
      const { run } = await started.client.startRun(job, { seed: 5 });
      await started.client.command(run, { command: "start" });
      const paused = await untilView(started.client, run, ({ stage }) => stage === "paused");
      expect(paused.sentence.happening).toContain("The circuit of TT-204 is open");
      expect(paused.faults.at(-1)).toMatchObject({ code: "signal.open-circuit" });
      // Put right at 320 s; the clock goes on while the run stands.
      await untilView(started.client, run, ({ at }) => at > 330);
      await started.client.command(run, { command: "resume" });
      expect(await untilView(started.client, run, ({ stage }) => stage === "ended")).toMatchObject({
        outcome: "completed",
      });
    } finally {
      await started.stop();
    }
  }, 60_000);
});

describe("what run refuses before anything is heated", () => {
  it("a malformed job: line, what was expected, what to write", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire", [["minimumWindow: 120", "minimumWindow: two minutes"]]);
    const { code, error } = await dwellpoint(["run", job, "--out", join(folder, "out")]);
    expect(code).toBe(1);
    const line = (await readFile(job, "utf8")).split("\n").findIndex((text) => text.includes("two minutes")) + 1;
    expect(error).toMatchObject({ code: "job.invalid", message: expect.stringContaining(`:${line}`) });
    expect(error!.message).toMatch(/number/);
  });

  it("a reference out of calibration", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire", [
      [/date: \S+/, "date: 2019-01-31"],
      [/due: \S+/, "due: 2020-01-31"],
    ]);
    const { code, error } = await dwellpoint(["run", job, "--out", join(folder, "out")]);
    expect(code).toBe(1);
    expect(error).toMatchObject({
      code: "kit.out-of-calibration",
      message: expect.stringMatching(/due for calibration on 2020-01-31.*Use another one/),
    });
  });

  it("a second run beside one that was broken off, and says how to go on with it", async () => {
    const { path } = await troubled("pt100-four-wire", "{kind: open-circuit, channel: item-1, at: 200}");
    const folder = join(path, "..");
    const job = await exampleFile(await scratch(), "pt100-four-wire");
    const { code, error } = await dwellpoint(["run", job, "--out", folder, "--speed", "max"]);
    expect(code).toBe(1);
    expect(error).toMatchObject({
      code: "run.not-allowed",
      message: expect.stringContaining(`dwellpoint run --resume ${path}`),
    });
  });

  it("a folder that cannot be written", async () => {
    using folder = new ReadOnlyFolder();
    const job = await exampleFile(await scratch(), "pt100-four-wire");
    const { code, error } = await dwellpoint(["run", job, "--out", join(folder.path, "out"), "--speed", "max"]);
    expect(code).toBe(1);
    expect(error).toMatchObject({
      code: "records.read-only",
      message: expect.stringContaining("Give --out a folder that you may write to"),
    });
  });

  it.each([
    [["run"], "one job file"],
    [["run", "job.yaml"], "--out DIR"],
    [["run", "job.yaml", "--out", "x", "--speed", "fast"], "--speed wants a number"],
    [["run", "job.yaml", "--out", "x", "--quickly"], "--quickly"],
    [["run", "--resume", "x.jsonl", "--seed", "1"], "in it already"],
    [["run", "job.yaml", "--out", "x", "--adjusted"], "--resume"],
    [["serve", "--port", "99999"], "--port wants a whole number"],
  ])("wrong usage: %j", async (words, part) => {
    const { code, error } = await dwellpoint(words);
    expect(code).toBe(2);
    expect(error).toMatchObject({ code: "usage.wrong", message: expect.stringContaining(part) });
  });
});

describe("serve", () => {
  const children: ChildProcess[] = [];
  afterEach(() => {
    for (const child of children.splice(0)) child.kill("SIGKILL");
  });

  it("says that the port is taken, and what to do", async () => {
    const other = createServer();
    await new Promise<void>((resolve) => other.listen(0, "127.0.0.1", resolve));
    const { port } = other.address() as { port: number };
    const { code, error } = await dwellpoint(["serve", "--data", await scratch(), "--port", String(port)]);
    other.close();
    expect(code).toBe(1);
    expect(error).toMatchObject({
      code: "station.port-in-use",
      message: expect.stringMatching(new RegExp(`Port ${port} .*is taken.*--port`)),
    });
  });

  it("says that the data folder cannot be written", async () => {
    using folder = new ReadOnlyFolder();
    const { code, error } = await dwellpoint(["serve", "--data", join(folder.path, "data"), "--port", "0"]);
    expect(code).toBe(1);
    expect(error).toMatchObject({ code: "records.read-only", message: expect.stringContaining("cannot be written") });
  });

  it("says that another station has the data folder; the first goes on and stops when it is told to", async () => {
    const data = await scratch();
    const child = spawn(
      process.execPath,
      [join(home, "src/cli/main.ts"), "serve", "--data", data, "--port", "0", "--demo"],
      { env: { ...process.env, CI: "true" } },
    );
    children.push(child);
    const first = await new Promise<string>((resolve) =>
      child.stdout.once("data", (piece: Buffer) => resolve(String(piece))),
    );
    const { address } = JSON.parse(first) as { address: string };
    const { code, error } = await dwellpoint(["serve", "--data", data, "--port", "0"]);
    expect(code).toBe(1);
    expect(error).toMatchObject({
      code: "records.busy",
      message: expect.stringContaining("open in another Dwellpoint"),
    });
    expect((await fetch(`${address}api/station`)).ok).toBe(true);
    const jobs = (await (await fetch(`${address}api/jobs`)).json()) as unknown[];
    expect(jobs).toHaveLength(7);
    await expect
      .poll(async () => ((await (await fetch(`${address}api/certificates`)).json()) as unknown[]).length, {
        timeout: 10_000,
      })
      .toBe(1);
    const ended = new Promise<number | null>((resolve) => child.once("exit", resolve));
    child.kill("SIGTERM");
    expect(await ended).toBe(0);
  }, 60_000);
});
