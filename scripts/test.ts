/**
 * `npm test`: the whole truth. Every stage runs even when an earlier one failed, so that one run shows everything that
 * is wrong; the last line counts the tests of all stages.
 *
 *   npm test                 all
 *   npm test -- types lint   only these stages
 */
import { spawn } from "node:child_process";
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const reports = join(root, ".cache/test");

interface Stage {
  readonly name: string;
  readonly commands: readonly (readonly string[])[];
  /** Where vitest leaves its counts. */
  readonly report?: string;
}

const vitest = (config: string, report: string): readonly string[] => [
  "vitest",
  "run",
  "--config",
  config,
  "--reporter=default",
  "--reporter=json",
  `--outputFile.json=${join(reports, report)}`,
];

const stages: readonly Stage[] = [
  {
    name: "types",
    commands: [
      ["tsc", "-p", "tsconfig.pure.json"],
      ["tsc", "-p", "tsconfig.node.json"],
      ["tsc", "-p", "tsconfig.web.json"],
    ],
  },
  {
    name: "lint",
    commands: [
      ["oxlint", "--deny-warnings"],
      ["oxfmt", "--check"],
    ],
  },
  { name: "layers", commands: [["depcruise", "--config", ".dependency-cruiser.mjs", "src"]] },
  { name: "unused", commands: [["knip"]] },
  { name: "tests", commands: [vitest("vitest.config.ts", "tests.json")], report: "tests.json" },
  { name: "browser", commands: [vitest("vitest.browser.config.ts", "browser.json")], report: "browser.json" },
];

const runCommand = (words: readonly string[]): Promise<boolean> =>
  new Promise((resolve) => {
    const child = spawn(words[0]!, words.slice(1), { cwd: root, stdio: ["ignore", "inherit", "inherit"] });
    child.once("error", (cause) => {
      process.stderr.write(`${words[0]} could not be started: ${cause.message}\n`);
      resolve(false);
    });
    child.once("exit", (code) => resolve(code === 0));
  });

const counts = (report: string): { passed: number; failed: number; skipped: number } => {
  const { numPassedTests, numFailedTests, numPendingTests } = JSON.parse(readFileSync(join(reports, report), "utf8"));
  return { passed: numPassedTests, failed: numFailedTests, skipped: numPendingTests };
};

const wanted = process.argv.slice(2);
const unknown = wanted.find((name) => !stages.some((stage) => stage.name === name));
if (unknown !== undefined) {
  process.stderr.write(`There is no stage "${unknown}"; there are ${stages.map((stage) => stage.name).join(", ")}.\n`);
  process.exit(2);
}
rmSync(reports, { recursive: true, force: true });
mkdirSync(reports, { recursive: true });

const lines: string[] = [];
let passed = 0;
let failed = 0;
let skipped = 0;
let broken = false;
for (const stage of stages.filter(({ name }) => wanted.length === 0 || wanted.includes(name))) {
  process.stdout.write(`\n── ${stage.name}\n`);
  const begun = Date.now();
  const outcomes = [];
  for (const words of stage.commands) outcomes.push(await runCommand(words));
  const ok = outcomes.every(Boolean);
  broken ||= !ok;
  if (stage.report !== undefined) {
    const count = counts(stage.report);
    passed += count.passed;
    failed += count.failed;
    skipped += count.skipped;
  } else if (ok) passed += stage.commands.length;
  else failed += outcomes.filter((outcome) => !outcome).length;
  lines.push(`${ok ? "holds" : "FAILS"}  ${stage.name.padEnd(8)} ${((Date.now() - begun) / 1000).toFixed(1)} s`);
}
// A test that was skipped proves nothing; here that is a failure, said aloud.
if (skipped > 0) {
  broken = true;
  lines.push(`FAILS  ${skipped} tests were skipped`);
}
process.stdout.write(`\n${lines.join("\n")}\n\n${passed} passed, ${failed} failed\n`);
process.exitCode = broken || failed > 0 ? 1 : 0;
