import { spawn, type ChildProcess } from "node:child_process";
import { existsSync } from "node:fs";
import { readdir, readFile } from "node:fs/promises";
import { createServer } from "node:net";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { afterAll, afterEach, expect, it } from "vitest";
import { evaluate, parseLog } from "#calibration";
import { seededGenerator } from "#numerics";
import { exampleFile, home, removeScratch, scratch } from "./program.test-support.ts";

const seed = 20_261_125;
const kills = 50;
const speed = 500;
/** Longest life of a run before it is killed, s; from the start of the process, so that some die before they have begun. */
const longestLife = 1.4;

const children = new Set<ChildProcess>();
afterEach(() => {
  for (const child of children) child.kill("SIGKILL");
});
afterAll(removeScratch);

const start = (words: readonly string[]): ChildProcess => {
  const child = spawn(process.execPath, [join(home, "src/cli/main.ts"), ...words], {
    stdio: ["ignore", "pipe", "pipe"],
    env: { ...process.env, CI: "true" },
  });
  children.add(child);
  child.once("exit", () => children.delete(child));
  return child;
};

const freePort = async (): Promise<number> => {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as { port: number };
  await new Promise((resolve) => server.close(resolve));
  return port;
};

/** A job of two points on instruments of another process. */
const shortJob = async (folder: string): Promise<string> => {
  const [block, readout] = [await freePort(), await freePort()];
  return exampleFile(folder, "pt100-four-wire", [
    ["entry: scpi-heat-source, at: simulated", `entry: scpi-heat-source, at: "tcp://127.0.0.1:${block}"`],
    [
      "entry: scpi-thermometer-readout, at: simulated",
      `entry: scpi-thermometer-readout, at: "tcp://127.0.0.1:${readout}"`,
    ],
    [/ {4}- temperature: -20\n {4}- temperature: 0\n/, ""],
    [/ {4}- temperature: 150\n/, ""],
  ]);
};

const wholeLines = (text: string): string[] => text.split("\n").slice(0, -1);

interface Life {
  /** Log lines that the program said were safe before it died. */
  readonly acknowledged: number;
  /** The log as it stood in the file a moment before. */
  readonly before: readonly string[];
  readonly code: number | null;
  readonly errors: string;
}

/** Lets a run live for so many seconds, then kills it; or lets it end by itself. */
const live = async (words: readonly string[], log: () => string | null, seconds: number): Promise<Life> => {
  const child = start(words);
  let acknowledged = 0;
  let errors = "";
  let before: string[] = [];
  createInterface({ input: child.stdout! }).on("line", (line) => {
    const { events } = JSON.parse(line) as { events?: number };
    acknowledged = Math.max(acknowledged, events ?? 0);
  });
  child.stderr!.on("data", (piece: Buffer) => (errors += String(piece)));
  const ended = new Promise<number | null>((resolve) => child.once("close", (code) => resolve(code)));
  const timer = Number.isFinite(seconds)
    ? setTimeout(() => {
        const path = log();
        if (path !== null && existsSync(path))
          void readFile(path, "utf8")
            .then((text) => (before = wholeLines(text)))
            .finally(() => child.kill("SIGKILL"));
        else child.kill("SIGKILL");
      }, seconds * 1000)
    : undefined;
  const code = await ended;
  clearTimeout(timer);
  return { acknowledged, before, code, errors };
};

const newestLog = async (out: string): Promise<string | null> => {
  if (!existsSync(out)) return null;
  // Names end in the second at which the run was opened; one that died before its first line leaves an empty file behind.
  const name = (await readdir(out))
    .filter((each) => each.endsWith(".log.jsonl"))
    .toSorted()
    .at(-1);
  return name === undefined ? null : join(out, name);
};

it(`kill -9 at ${kills} random instants over real sockets (seed ${seed}): no acknowledged reading is lost, every run completes`, async () => {
  const random = seededGenerator(seed);
  const folder = await scratch();
  const job = await shortJob(folder);
  const bench = start(["simulate", job, "--speed", String(speed)]);
  await new Promise((resolve) => bench.stdout!.once("data", resolve));

  let killed = 0;
  let killedWithLog = 0;
  for (let count = 1; killed < kills; count += 1) {
    const out = join(folder, `run-${count}`);
    let ended = false;
    while (!ended) {
      const path = await newestLog(out);
      const opened = path !== null && wholeLines(await readFile(path, "utf8")).length > 0;
      // A run that died before its first line is begun again.
      const words = opened
        ? ["run", "--resume", path!, "--speed", String(speed)]
        : ["run", job, "--out", out, "--speed", String(speed)];
      const last = killed >= kills;
      const life = await live(words, () => path, last ? Number.POSITIVE_INFINITY : random.next() * longestLife);
      const log = await newestLog(out);
      const lines = log === null ? [] : wholeLines(await readFile(log, "utf8"));
      expect(lines.length, "acknowledged lines are in the log").toBeGreaterThanOrEqual(life.acknowledged);
      expect(lines.slice(0, life.before.length), "what stood there stands there").toEqual(life.before);
      if (life.code === null) {
        killed += 1;
        if (lines.length > 0) killedWithLog += 1;
        // Killed with everything written already: nothing is left to go on with.
        ended = log !== null && existsSync(log.replace(".log.jsonl", ".result.json"));
        continue;
      }
      expect(life.errors).toBe("");
      expect(life.code).toBe(0);
      ended = true;
    }
    const log = parseLog(wholeLines(await readFile((await newestLog(out))!, "utf8")));
    expect(log.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
    const points = evaluate(log).items[0]!.passes[0]!.points;
    expect(points.map(({ status }) => status)).toEqual(["measured", "measured"]);
  }
  // Most lives must have got as far as the log, or the test would prove little.
  expect(killedWithLog).toBeGreaterThan(kills / 2);
}, 180_000);
