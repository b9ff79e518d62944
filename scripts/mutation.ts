/**
 * `npm run mutation [-- PART...]`: are the four rooms' numbers held by their own tests? Each source file is one part: its
 * mutants meet the tests of its own room only. PART chooses parts by the beginning of their path (`numerics`,
 * `calibration/fit`). What is done is kept in `.cache/mutation`: a part whose room has not changed since is not done again, and one
 * that was broken off goes on where it stood. Prints the table of docs/mutation.md; fails below 85 % in a room.
 * `--sample=0.2` (with `--seed=1`) draws lines instead of taking all of them; such reports are kept apart.
 * `--kept` only prints what is kept; `--survivors` lists the mutants that no test noticed, too.
 */
import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, globSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { readVerdicts } from "./mutation/verdicts.ts";
import { sampledRanges } from "./mutation/sample.ts";
import { survivorLines, tableLines } from "./mutation/tables.ts";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const rooms = ["numerics", "thermometry", "uncertainty", "calibration"];
const words = process.argv.slice(2);
const wanted = words.filter((word) => !word.startsWith("--"));

const filesOf = (room: string): readonly string[] => globSync(`src/${room}/**/*.{ts,json}`, { cwd: root }).toSorted();
const nameOf = (path: string): string => path.slice("src/".length).replace(/\.ts$/u, "");
const attacked = rooms
  .flatMap((room) => filesOf(room))
  .filter((path) => path.endsWith(".ts") && !/\.(test|test-support)\.ts$|\/index\.ts$/u.test(path))
  .filter((path) => wanted.length === 0 || wanted.some((start) => nameOf(path).startsWith(start)));

const option = (name: string): number | undefined => {
  const word = words.find((each) => each.startsWith(`--${name}=`));
  return word === undefined ? undefined : Number(word.slice(name.length + 3));
};
const share = option("sample");
const seed = option("seed") ?? 1;
const kept = join(root, ".cache/mutation", share === undefined ? "whole" : `sample-${share}-${seed}`);
interface Part {
  readonly name: string;
  readonly room: string;
  readonly paths: readonly string[];
}
/** A file each, or, where lines are drawn, a folder each: with few mutants the start weighs more than the rest. */
const parts: readonly Part[] = [
  ...Map.groupBy(attacked, (path) => (share === undefined ? nameOf(path) : dirname(nameOf(path)))),
].map(([name, paths]) => ({ name, room: name.split("/")[0]!, paths }));

const reportOf = ({ name }: Part): string => join(kept, `${name.replaceAll("/", "--")}.json`);
const stampOf = ({ name }: Part): string => join(kept, `${name.replaceAll("/", "--")}.done`);

/** What a part's verdicts rest on: all files of its room, source and test. */
const stateOf = (room: string): string => {
  const hash = createHash("sha256");
  for (const path of filesOf(room)) hash.update(path).update(readFileSync(join(root, path)));
  return hash.digest("hex");
};
const isFresh = (part: Part): boolean =>
  existsSync(stampOf(part)) && readFileSync(stampOf(part), "utf8") === stateOf(part.room);

const linesOf = (path: string): number => readFileSync(join(root, path), "utf8").split("\n").length;
const targetsOf = ({ paths }: Part): readonly string[] =>
  share === undefined ? paths : paths.flatMap((path) => sampledRanges(path, linesOf(path), share, seed));

/** The stamp bears the state at the start: a file edited meanwhile makes the part stale. */
const attack = (part: Part): Promise<void> =>
  new Promise((resolve, reject) => {
    const started = stateOf(part.room);
    const targets = targetsOf(part);
    if (targets.length === 0) return resolve();
    const stryker = join(root, "node_modules/@stryker-mutator/core/bin/stryker.js");
    const child = spawn(
      process.execPath,
      [stryker, "run", "--mutate", targets.join(","), "--incrementalFile", reportOf(part)],
      {
        cwd: root,
        env: { ...process.env, MUTATED_ROOM: part.room, PROPERTY_RUNS: "200" },
        stdio: ["ignore", "inherit", "inherit"],
      },
    );
    child.once("error", reject);
    child.once("close", (code) => {
      if (code !== 0) return reject(new Error(`${part.name}: broken off (${code})`));
      writeFileSync(stampOf(part), started);
      return resolve();
    });
  });

mkdirSync(kept, { recursive: true });
if (!words.includes("--kept")) {
  for (const [index, part] of parts.entries()) {
    process.stdout.write(`${index + 1}/${parts.length} ${part.name}${isFresh(part) ? ": kept" : ""}\n`);
    if (!isFresh(part)) await attack(part);
  }
}
const verdicts = parts.filter((part) => existsSync(reportOf(part))).map((part) => readVerdicts(part, reportOf(part)));
if (words.includes("--survivors")) for (const line of survivorLines(verdicts)) process.stdout.write(`${line}\n`);
const { lines, failing } = tableLines(rooms, verdicts, share);
for (const line of lines) process.stdout.write(`${line}\n`);
const undone = parts.filter((part) => targetsOf(part).length > 0 && !isFresh(part));
if (undone.length > 0)
  process.stdout.write(`\nNot done, or changed since: ${undone.map(({ name }) => name).join(", ")}\n`);
process.exitCode = failing ? 1 : 0;
