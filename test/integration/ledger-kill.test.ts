import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { checkPlace, openRecords } from "#records";
import { removeScratch, scratch } from "./program.test-support.ts";

const seed = 20_261_125;
const kills = 200;
/** Folders, each with a writer of its own at a time; so many at once as the machine may have cores. */
const folders = 8;
const atOnce = 2;
/** Most answers that a writer lives for, and how long it may live on behind the last of them, ms. */
const mostAnswers = 90;
const longestLife = 10;
/** Every eighth is killed while it opens the records; so long may that take, ms. */
const longestOpening = 60;

const writer = fileURLToPath(new URL("../../src/records/ledger/ledger-writer.test-support.ts", import.meta.url));

afterAll(removeScratch);

type Told = Readonly<Record<"lines" | "setting" | "finding", number>>;

const nothing: Told = { lines: 0, setting: 0, finding: 0 };

/** Lines that were told to their end. */
const told = (out: string): number => out.split("\n").length - 1;

/** Lets a writer live for so many lines of what it tells, and so long behind the last of them, kills it outright, and answers the most that it was told to be safe. */
const killedAfter = async (
  folder: string,
  cache: string,
  { answers, delay }: { readonly answers: number; readonly delay: number },
): Promise<Told> => {
  const child = spawn(process.execPath, ["--disable-warning=ExperimentalWarning", writer, folder], {
    stdio: ["ignore", "pipe", "pipe"],
    // What was compiled for the last one need not be compiled again: most of a short life would go into that.
    env: { ...process.env, NODE_COMPILE_CACHE: cache },
  });
  let out = "";
  let complaint = "";
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    const before = told(out);
    out += text;
    if (before < answers && told(out) >= answers) setTimeout(() => child.kill("SIGKILL"), delay);
  });
  child.stderr.setEncoding("utf8").on("data", (text: string) => (complaint += text));
  const [code, signal] = (await once(child, "close")) as [number | null, NodeJS.Signals | null];
  if (signal !== "SIGKILL") throw new Error(`The writer ended by itself (${code}): ${complaint}`);
  const most = { ...nothing } as Record<keyof Told, number>;
  // A last line without its line feed was not told to its end.
  for (const line of out.split("\n").slice(0, -1)) {
    const [what = "", count] = line.split(" ");
    if (what === "lines" || what === "setting" || what === "finding") most[what] = Math.max(most[what], Number(count));
  }
  return most;
};

/** What the records hold of what the writer writes. */
const held = async (folder: string): Promise<Told> => {
  const records = await openRecords(folder);
  try {
    const { runs } = await records.listRuns({});
    return {
      lines: runs[0]?.events ?? 0,
      setting: Number((await records.readSetting("count")) ?? 0),
      finding: (await records.listFindings()).length,
    };
  } finally {
    await records.close();
  }
};

const killInFolder = async (number: number, cache: string): Promise<Told> => {
  const chance = seededGenerator(seed).fork(number);
  const folder = join(await scratch(), `data-${number}`);
  await mkdir(folder);
  let before = nothing;
  for (let kill = 0; kill < kills / folders; kill += 1) {
    const life =
      kill % 8 === 0
        ? { answers: 1, delay: chance.next() * longestOpening }
        : { answers: 2 + Math.floor(chance.next() * mostAnswers), delay: chance.next() * longestLife };
    const safe = await killedAfter(folder, cache, life);
    const now = await held(folder);
    for (const what of ["lines", "setting", "finding"] as const) {
      expect(now[what], `${what} in folder ${number} after kill ${kill}`).toBeGreaterThanOrEqual(safe[what]);
      expect(now[what], `${what} that were there before`).toBeGreaterThanOrEqual(before[what]);
    }
    before = now;
  }
  expect(await checkPlace(folder, "data-folder")).toMatchObject({ holds: true, breaks: [] });
  return before;
};

describe(`records whose writer is killed outright at ${kills} random instants, seed ${seed}`, () => {
  it("lose nothing that was answered, and hold from end to end [R3, R27]", async () => {
    const cache = await scratch();
    const lasts: Told[] = [];
    const numbers = Array.from({ length: folders }, (_, number) => number).values();
    const work = async (): Promise<void> => {
      for (const number of numbers) lasts.push(await killInFolder(number, cache));
    };
    await Promise.all(Array.from({ length: atOnce }, work));
    const lines = lasts.reduce((sum, last) => sum + last.lines, 0);
    console.log(
      `${kills} kills; ${lines} lines and ${lasts.reduce((sum, last) => sum + last.finding, 0)} findings held`,
    );
    // Enough that lines came into blocks in most folders, or the test would prove little.
    expect(lines).toBeGreaterThan(folders * 1000);
  }, 900_000);
});
