/**
 * `npm run coverage [-- VISITS]`: is the simulated bench's own truth inside the stated interval? Each example is conducted
 * VISITS times (250) with other seeds: other hidden errors of the kit within what its certificates state, other items, other
 * noise. Prints a table for docs/performance.md; fails when fewer than 95 % of the points of an example are covered.
 */
import { spawn } from "node:child_process";
import { availableParallelism } from "node:os";
import { dirname, join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import type { Outcome } from "./coverage/visit.ts";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const visits = Number(process.argv[2] ?? 250);
const examples = ["type-k-thermocouple", "pt100-four-wire", "transmitter-4-20"];
const hands = Math.min(availableParallelism(), 4);

const share = (job: string, hand: number, onVisit: () => void): Promise<readonly Outcome[]> =>
  new Promise((resolve, reject) => {
    const count = Math.ceil((visits - hand) / hands);
    const words = [
      join(root, "scripts/coverage/worker.ts"),
      join(root, "examples", `${job}.yaml`),
      String(1000 + hand),
      String(hands),
      String(count),
    ];
    const child = spawn(process.execPath, ["--disable-warning=ExperimentalWarning", ...words], {
      cwd: root,
      stdio: ["ignore", "pipe", "inherit"],
    });
    const outcomes: Outcome[] = [];
    createInterface({ input: child.stdout }).on("line", (line) => {
      outcomes.push(...(JSON.parse(line) as Outcome[]));
      onVisit();
    });
    child.once("error", reject);
    child.once("close", (code) => (code === 0 ? resolve(outcomes) : reject(new Error(`a worker ended with ${code}`))));
  });

const quantile = (values: readonly number[], p: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(p * values.length))]!;
const percent = (count: number, of: number): string => `${((100 * count) / of).toFixed(1)} %`;

process.stdout.write(
  "| example | visits | points | truth inside the stated interval | worst point | median U | 95 % of the real deviations within | minutes a point, median (90 %) |\n|---|---|---|---|---|---|---|---|\n",
);
let failing = false;
for (const job of examples) {
  let done = 0;
  const tick = (): void => {
    done += 1;
    if (process.stderr.isTTY) process.stderr.write(`\r${job}: ${done}/${visits} `);
  };
  const outcomes = (await Promise.all(Array.from({ length: hands }, (_, hand) => share(job, hand, tick)))).flat();
  if (process.stderr.isTTY) process.stderr.write("\r\u001b[K");
  const inside = (some: readonly Outcome[]): number =>
    some.filter(({ error, U, truth }) => Math.abs(error - truth) <= U).length;
  const covered = inside(outcomes);
  const groups = Map.groupBy(outcomes, ({ pass, nominal }) => `${pass} ${nominal} °C`);
  const [worst] = [...groups]
    .map(([name, some]) => ({ name, rate: inside(some) / some.length, of: some.length }))
    .toSorted((a, b) => a.rate - b.rate);
  const minutes = outcomes.map(({ seconds }) => seconds / 60);
  const cells = [
    job,
    String(visits),
    String(outcomes.length),
    percent(covered, outcomes.length),
    `${worst!.name}: ${percent(worst!.rate * worst!.of, worst!.of)}`,
    `${quantile(
      outcomes.map(({ U }) => U),
      0.5,
    ).toFixed(3)} K`,
    `${quantile(
      outcomes.map(({ error, truth }) => Math.abs(error - truth)),
      0.95,
    ).toFixed(3)} K`,
    `${quantile(minutes, 0.5).toFixed(1)} (${quantile(minutes, 0.9).toFixed(1)})`,
  ];
  process.stdout.write(`| ${cells.join(" | ")} |\n`);
  failing ||= covered / outcomes.length < 0.95;
}
process.exitCode = failing ? 1 : 0;
