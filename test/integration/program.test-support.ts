import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { PassThrough, Readable } from "node:stream";
import { main } from "../../src/cli/main.ts";

export const home = resolve(import.meta.dirname, "../..");

const folders: string[] = [];

/** A folder of its own for a test; `removeScratch` takes all of them away. */
export const scratch = async (): Promise<string> => {
  const folder = await mkdtemp(join(tmpdir(), "dwellpoint-"));
  folders.push(folder);
  return folder;
};

export const removeScratch = async (): Promise<void> => {
  for (const folder of folders.splice(0)) await rm(folder, { recursive: true, force: true });
};

/** The day for which the examples' certificates were invented. */
const examplesWritten = Date.parse("2026-11-25");
const day = 86_400_000;

/** The text with every date moved so that the examples' kit is as fresh today as on the day they were written. */
const movedToToday = (text: string): string => {
  const moved = Math.floor(Date.now() / day) * day - examplesWritten;
  return text.replaceAll(/\b20\d\d-\d\d-\d\d\b/g, (date) =>
    new Date(Date.parse(date) + moved).toISOString().slice(0, 10),
  );
};

export type Change = readonly [search: string | RegExp, replacement: string];

/** An example's text with some changes; a change that finds nothing to change is a mistake of the test. */
export const exampleText = async (name: string, changes: readonly Change[] = []): Promise<string> => {
  const text = movedToToday(await readFile(join(home, "examples", `${name}.yaml`), "utf8"));
  return changes.reduce((changed, [search, replacement]) => {
    const next = changed.replace(search, replacement);
    if (next === changed) throw new Error(`Nothing in examples/${name}.yaml matches ${String(search)}.`);
    return next;
  }, text);
};

/** A changed example as a file. */
export const exampleFile = async (folder: string, name: string, changes: readonly Change[] = []): Promise<string> => {
  const path = join(folder, `${name}.yaml`);
  await writeFile(path, await exampleText(name, changes));
  return path;
};

export interface Answered {
  readonly code: number;
  /** Standard output as JSON Lines; throws where it holds something else. */
  readonly lines: readonly Record<string, unknown>[];
  readonly stdout: string;
  /** Everything on standard error. */
  readonly stderr: string;
  /** The fault on standard error, the last where there are several. */
  readonly error: { readonly code: string; readonly message: string; readonly data?: Record<string, unknown> } | null;
}

const textOf = (stream: PassThrough): string => String(stream.read() ?? "");

/** The fault is the last line of standard error; what stands before it is said to people. */
const faultIn = (errors: string) => JSON.parse(errors.split("\n").at(-1)!) as { error: Answered["error"] };

/** Runs a command of the program in this process, its output in a pipe. `home` is the program's folder, with its catalogue. */
export const dwellpoint = async (
  words: readonly string[],
  {
    signal = new AbortController().signal,
    home: folder = home,
    environment = { CI: "true" },
  }: { signal?: AbortSignal; home?: string; environment?: Readonly<Record<string, string>> } = {},
): Promise<Answered> => {
  const stdout = new PassThrough({ highWaterMark: 2 ** 26 });
  const stderr = new PassThrough({ highWaterMark: 2 ** 26 });
  const code = await main(words, {
    stdin: Readable.from([]),
    stdout,
    stderr,
    environment,
    signal,
    home: folder,
  });
  const errors = textOf(stderr).trim();
  const last = errors.startsWith("{") || errors.includes("\n{") ? faultIn(errors) : null;
  const said = textOf(stdout);
  return {
    code,
    stderr: errors,
    stdout: said,
    get lines() {
      const lines = said.trim();
      return lines === "" ? [] : lines.split("\n").map((line) => JSON.parse(line) as Record<string, unknown>);
    },
    error: last?.error ?? null,
  };
};
