import { fileURLToPath } from "node:url";
import { dirname, resolve } from "node:path";
import { enableCompileCache } from "node:module";
import { Fault, faultValue } from "#fault";
import type { ExitCode, Surroundings } from "./command.ts";
import { commands } from "./commands/index.ts";

const overview = (): string => {
  const width = Math.max(...Object.keys(commands).map((name) => name.length));
  const rows = Object.entries(commands).map(([name, { summary }]) => `  ${name.padEnd(width)}  ${summary}`);
  return [
    "dwellpoint COMMAND [words]",
    "",
    ...rows,
    "",
    "JSON in, JSON out. Exit 0 all well, 1 something in the input could not be done, 2 wrong usage.",
    "`dwellpoint COMMAND --help` tells each in full.",
    "",
  ].join("\n");
};

/** Answers one command line. Faults leave as `{"error":…}` on standard error; the exit code follows the contract. */
export const main = async (words: readonly string[], surroundings: Surroundings): Promise<ExitCode> => {
  const [name, ...rest] = words;
  if (name === undefined || name === "--help" || name === "help") {
    surroundings.stdout.write(overview());
    return name === undefined ? 2 : 0;
  }
  const entry = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (entry === undefined) {
    const fault = new Fault("usage.wrong", `There is no command "${name}". dwellpoint --help lists them.`);
    surroundings.stderr.write(`${JSON.stringify(fault)}\n`);
    return 2;
  }
  try {
    const command = await entry.load();
    if (rest.includes("--help")) {
      surroundings.stdout.write(`${command.help.trim()}\n`);
      return 0;
    }
    return await command.run(rest, surroundings);
  } catch (thrown) {
    const error = faultValue(thrown);
    surroundings.stderr.write(`${JSON.stringify({ error })}\n`);
    if (error.code === "internal" && surroundings.environment["DWELLPOINT_TRACE"] !== undefined) {
      surroundings.stderr.write(`${thrown instanceof Error ? thrown.stack : String(thrown)}\n`);
    }
    return error.code === "usage.wrong" ? 2 : 1;
  }
};

const startedDirectly = process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(import.meta.url);
if (startedDirectly) {
  enableCompileCache();
  const stop = new AbortController();
  for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => stop.abort(signal));
  process.exitCode = await main(process.argv.slice(2), {
    stdin: process.stdin,
    stdout: process.stdout,
    stderr: process.stderr,
    environment: process.env,
    signal: stop.signal,
    home: resolve(dirname(fileURLToPath(import.meta.url)), "../.."),
  });
}
