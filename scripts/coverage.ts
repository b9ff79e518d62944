/**
 * `npm run coverage [-- VISITS]`: is the simulated bench's own truth inside the stated interval? Each example is rehearsed
 * VISITS times (250), as `dwellpoint rehearse` does it: other hidden errors of the kit within what its certificates state,
 * other items, other lags and noise. Prints a table for docs/performance.md; fails when fewer than 95 % of the points of an
 * example are covered.
 */
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { unwrap } from "#fault";
import { loadJob } from "#intake";
import { defaultPhysics, rehearsalTable, rehearseJob, type CellTable } from "#rehearsal";
import { readCatalog } from "../src/cli/catalog.ts";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const visits = Number(process.argv[2] ?? 250);
const examples = ["type-k-thermocouple", "pt100-four-wire", "transmitter-4-20"];
const leastCoverage = 0.95;

const entries = readCatalog(root);
const worst = (cells: readonly CellTable[]): number => Math.min(...cells.map(({ coverage }) => coverage ?? 0));

for (const name of examples) {
  const file = join(root, "examples", `${name}.yaml`);
  const job = unwrap(loadJob(readFileSync(file, "utf8"), file));
  const { cells, pooled } = await rehearseJob(job, visits, {
    entries,
    physics: defaultPhysics,
    seed: 1,
    onProgress: ({ done, of }) => {
      if (process.stderr.isTTY) process.stderr.write(`\r\u001b[K${done === of ? "" : `${name}: ${done}/${of} `}`);
    },
  });
  process.stdout.write(`\n${name}\n\n${rehearsalTable(cells, pooled, { bySetPoint: true })}`);
  if (worst(cells) < leastCoverage || cells.some(({ failedRuns }) => failedRuns > 0)) process.exitCode = 1;
}
