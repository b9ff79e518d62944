/**
 * `node --expose-gc scripts/load-study.ts real [MINUTES]`: 16 channels at 10 readings a second in real time. The instruments
 * are in a process of their own (`dwellpoint simulate`), reached over sockets; the station, its records with
 * `synchronous=FULL` and a reader of its stream are in this one.
 * `node --expose-gc scripts/load-study.ts hurried [HOURS]`: so many hours' worth of the same readings as fast as the machine
 * goes, on the lock-step clock; instruments, sockets, station and records all in this process, so its CPU says nothing.
 *
 * Prints rows for docs/performance.md: heap after a forced collection, resident memory, what the run holds in memory, lines
 * in the log; at the end what was scheduled against what is in the log.
 */
import { spawn, type ChildProcess } from "node:child_process";
import { mkdtemp, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { createClient } from "#contract";
import { openRecords } from "#records";
import { createStation } from "#station";
import { benchHost } from "../src/cli/bench/bench-host.ts";
import { readCatalog } from "../src/cli/catalog.ts";
import { loadJobOf } from "./load-study/load-job.ts";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const [mode = "real", amount] = process.argv.slice(2);
const real = mode === "real";
const seconds = real ? 60 * Number(amount ?? 20) : 3600 * Number(amount ?? 8);
const channels = 16;
const rate = 10;
const by = "Orla Penhallow (demo)";
const megabytes = (bytes: number): string => (bytes / 2 ** 20).toFixed(1);
const say = (line: string): void => void process.stdout.write(`${line}\n`);
const { gc } = globalThis as { gc?: () => void };
if (gc === undefined) throw new Error("Start it with node --expose-gc: heap is told after a forced collection.");

const folder = await mkdtemp(join(tmpdir(), "dwellpoint-load-"));
const points = Array.from({ length: 60 }, (_, index) => [40, 60, 80, 60][index % 4]!);
const plain = loadJobOf(root, { channels, rate, soak: real ? 0 : 1800, points });

/** The instruments in a process of their own; answers where each is. */
const startInstruments = async (): Promise<{ child: ChildProcess; at: Record<string, string> }> => {
  const file = join(folder, "bench.json");
  await writeFile(file, JSON.stringify(plain));
  const child = spawn(process.execPath, [join(root, "src", "cli", "main.ts"), "simulate", file], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const line = await new Promise<string>((resolve, reject) => {
    child.stdout!.once("data", (bytes: Buffer) => resolve(bytes.toString("utf8")));
    child.once("exit", (code) => reject(new Error(`simulate ended with ${code}`)));
  });
  return { child, at: (JSON.parse(line) as { addresses: Record<string, string> }).addresses };
};

const instruments = real ? await startInstruments() : null;
const job = loadJobOf(root, {
  channels,
  rate,
  soak: real ? 0 : 1800,
  points,
  ...(instruments === null ? {} : { at: instruments.at }),
});
const catalog = readCatalog(root);
const records = await openRecords(join(folder, "data"));
const station = await createStation({
  name: "load",
  software: { name: "dwellpoint", version: "load" },
  records,
  benches: benchHost(catalog),
  catalog,
  simulatedBench: true,
  defaultSpeed: 100_000,
  pages: null,
});
const address = await station.listen(0);
const client = createClient((path, init) => fetch(new URL(path, address), init));

/** A page that looks on: takes every message of the stream and keeps the last. */
let messages = 0;
const lookOn = async (run: string, until: AbortSignal): Promise<void> => {
  const response = await fetch(new URL(`/api/runs/${run}/stream`, address), { signal: until });
  for await (const bytes of response.body!) messages += bytes.length > 0 ? 1 : 0;
};

await client.addJob(JSON.stringify(job));
const { run } = await client.startRun(job.job, real ? {} : { seed: 5 });
const over = new AbortController();
void lookOn(run, over.signal).catch(() => undefined);
await client.command(run, { command: "start", by });
const begun = (await client.runView(run)).at;
const started = performance.now();
let cpu = process.cpuUsage();
let last = started;

say("| run's clock, min | heap, MiB | resident, MiB | readings held | lines in the log | CPU, % of one core |");
say("|---|---|---|---|---|---|");
const sample = async (): Promise<number> => {
  gc();
  const { heapUsed, rss } = process.memoryUsage();
  const view = await client.runView(run);
  const used = process.cpuUsage(cpu);
  const now = performance.now();
  const share = (used.user + used.system) / 10 / (now - last);
  cpu = process.cpuUsage();
  last = now;
  const { events } = await records.readRun(run);
  say(
    `| ${(view.at / 60).toFixed(1)} | ${megabytes(heapUsed)} | ${megabytes(rss)} | ${station.held(run)} | ${events} | ${real ? share.toFixed(1) : "–"} |`,
  );
  if (view.stage === "paused" || view.stage === "ended") say(`(${view.stage}: ${view.sentence.happening})`);
  return view.stage === "ended" ? Number.POSITIVE_INFINITY : view.at;
};
const pause = real ? Math.min(120_000, (seconds * 1000) / 10) : 20_000;
while ((await sample()) - begun < seconds) await new Promise((resolve) => setTimeout(resolve, pause));
await client.command(run, { command: "stop", by, reason: "the study is over" });
over.abort();

/** What is in the log, read page by page. */
let readings = 0;
let measured = 0;
let ended = 0;
const counts = new Map<string, number>();
const missing: string[] = [];
for await (const page of records.logPages(run))
  for (const event of page) {
    if (event.kind === "readings-taken") {
      readings += event.times.length;
      counts.set(event.channel, (counts.get(event.channel) ?? 0) + event.times.length);
    }
    if (event.kind === "point-measured") measured += 1;
    if (event.kind === "run-ended") ended = event.at;
    if (event.kind === "fault-seen" && event.code === "reading.missing") missing.push(event.message);
  }
const rounds = Math.floor((ended - begun) * rate);
say("");
say(
  `${mode}: ${((ended - begun) / 60).toFixed(1)} min of the run's clock in ${((performance.now() - started) / 60_000).toFixed(1)} min; ` +
    `${counts.size} channels, ${rounds} rounds scheduled, ${Math.min(...counts.values())} to ${Math.max(...counts.values())} readings of a channel in the log, ${readings} in all; ${measured} points measured; ${messages} pieces of the stream read.`,
);
for (const message of missing) say(`- ${message}`);
const { size } = await stat(join(folder, "data", "records.sqlite"));
say(`Records: ${megabytes(size)} MiB.`);
await station.close();
await records.close();
instruments?.child.kill("SIGTERM");
await rm(folder, { recursive: true, force: true });
