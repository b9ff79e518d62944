/**
 * `npm run bench`: speeds as ratios against a peer in the same run on the same machine. A peer that is absent is said
 * aloud. The table is printed; `docs/performance.md` keeps the one of the last time somebody looked.
 */
import { evaluation } from "./benchmarks/evaluation.ts";
import { inverse } from "./benchmarks/inverse.ts";
import { monteCarlo } from "./benchmarks/monte-carlo.ts";
import type { Row } from "./benchmarks/row.ts";
import { settling } from "./benchmarks/settling.ts";

const parts: readonly (() => readonly Row[] | Promise<readonly Row[]>)[] = [inverse, monteCarlo, evaluation, settling];

const rows: Row[] = [];
for (const part of parts) rows.push(...(await part()));
process.stdout.write("| what | here | peer | ratio | goal |\n|---|---|---|---|---|\n");
for (const { name, ours, peer, ratio, goal } of rows) {
  process.stdout.write(`| ${name} | ${ours} | ${peer} | ${ratio === null ? "" : ratio.toFixed(1)} | ${goal} |\n`);
}
