import { spawn } from "node:child_process";
import { once } from "node:events";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import type { RunEvent } from "#calibration";
import { seededGenerator } from "#numerics";
import { openFileJournal, openRecords } from "../index.ts";
import { sampleReadings } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const program = fileURLToPath(new URL("endless-writer.test-support.ts", import.meta.url));
const seed = 20_261_125;
const kills = 12;

/** Runs the writer, kills it outright `delay` ms after it began to open its journal; answers what it had told by then. */
const killedAfter = async (words: readonly string[], delay: number): Promise<string[]> => {
  const child = spawn(process.execPath, ["--disable-warning=ExperimentalWarning", program, ...words], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  let told = "";
  let complaint = "";
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    if (told === "") setTimeout(() => child.kill("SIGKILL"), delay);
    told += text;
  });
  child.stderr.setEncoding("utf8").on("data", (text: string) => (complaint += text));
  const [code, signal] = (await once(child, "close")) as [number | null, NodeJS.Signals | null];
  if (signal !== "SIGKILL") throw new Error(`The writer ended by itself (${code}): ${complaint}`);
  return told.split("\n").slice(1, -1);
};

const answered = (line: string): RunEvent => {
  const [n, at, count] = line.split(" ").map(Number);
  return { ...sampleReadings(at!, count!), at: at!, n: n! };
};

/** Kills writers of one log at random instants; after each kill the log must hold all that was ever answered. */
const killAndRead = async (
  words: readonly string[],
  read: () => Promise<readonly RunEvent[]>,
): Promise<{ answers: number; held: number }> => {
  const chance = seededGenerator(seed).fork(words[0]!);
  const answers: RunEvent[] = [];
  let held: readonly RunEvent[] = [];
  for (let kill = 0; kill < kills; kill += 1) {
    // Every fourth while the journal is being opened, before anything can have been written by this writer.
    const delay = chance.next() * (kill % 4 === 0 ? 25 : 160);
    for (const line of await killedAfter(words, delay)) answers.push(answered(line));
    held = await read();
    for (const event of answers) expect(held[event.n]).toEqual(event);
    expect(held.map(({ n }) => n)).toEqual(held.map((_, index) => index));
  }
  return { answers: answers.length, held: held.length };
};

describe(`a writer killed outright at ${kills} random instants, seed ${seed}`, () => {
  it.concurrent("loses nothing answered from a log in a file [R3, R7, R12]", async () => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    const { answers, held } = await killAndRead(["file", path], async () => {
      const events: RunEvent[] = [];
      const journal = await openFileJournal(path, (event) => events.push(event));
      await journal.close();
      return events;
    });
    console.log(`file: ${answers} blocks answered, ${held} lines held`);
    expect(answers).toBeGreaterThan(kills);
  });

  it.concurrent("loses nothing answered from the database [R3, R7]", async () => {
    using folder = new ScratchFolder();
    const { answers, held } = await killAndRead(["database", folder.path], async () => {
      const records = await openRecords(folder.path);
      try {
        const { runs } = await records.listRuns({});
        if (runs.length === 0) return [];
        expect(await records.verifyChain("run-1")).toMatchObject({ whole: true });
        return await records.readLog("run-1");
      } finally {
        await records.close();
      }
    });
    console.log(`database: ${answers} blocks answered, ${held} lines held`);
    expect(answers).toBeGreaterThan(kills);
  });
});
