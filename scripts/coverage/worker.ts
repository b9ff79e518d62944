/** Conducts some visits and prints their outcomes, a JSON line each: `worker.ts JOB FIRST STEP COUNT`. */
import { readFileSync } from "node:fs";
import { unwrap } from "#fault";
import { loadJob } from "#intake";
import { readCatalog } from "../../src/cli/catalog.ts";
import { visit } from "./visit.ts";

const [file, first, stride, count] = process.argv.slice(2);
const job = unwrap(loadJob(readFileSync(file!, "utf8"), file!));
const entries = readCatalog(process.cwd());
for (let index = 0; index < Number(count); index += 1) {
  const seed = Number(first) + index * Number(stride);
  process.stdout.write(`${JSON.stringify(await visit(job, entries, seed))}\n`);
}
