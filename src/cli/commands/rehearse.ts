import { basename } from "node:path";
import { Fault, unwrap } from "#fault";
import { loadDocument } from "#intake";
import {
  allCells,
  cellsNamed,
  defaultPhysics,
  physicsSchema,
  rehearsalTable,
  rehearseCells,
  rehearseJob,
  type Cell,
  type Physics,
  type Rehearsal,
  type RehearsalOptions,
  type RehearsalProgress,
} from "#rehearsal";
import { readCatalog } from "../catalog.ts";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { readJob, readNamedFile } from "../run/read-job.ts";
import { bar } from "../terminal/bar.ts";
import { readNumber, readWords } from "../words.ts";

const help = `
dwellpoint rehearse JOB [--runs N] [--seed S] [--physics FILE] [--threads N] [--table]
dwellpoint rehearse --cells NAMES [--points N] [--seed S] [--physics FILE] [--threads N] [--table]
dwellpoint rehearse --physics-defaults

Conducts whole runs on the simulated bench, with the real engine and the real evaluation, as fast as the machine goes,
and sets what was stated beside what the bench knows: is the true error inside the stated interval, how long did it take
against one who knows when to stop, was anything accepted that should not have been.

  JOB                 a job file on the simulated bench: N runs (20), each with other hidden errors, lags and noise
  --cells NAMES       the standard cells instead, by name, with commas between: all, standard, stress, a source, an item, or
                      ${allCells.map(({ name }) => name).join(", ")}
  --points N          points in each cell (100)
  --seed S            the same seed, the same table, on any number of threads (1)
  --physics FILE      what is left to chance and within which bounds, YAML or JSON; what is not in it stays as it is
  --physics-defaults  prints those bounds, and ends
  --threads N         how many runs at once; the machine's cores where it is left out
  --table             prints tables for people (Markdown) instead of JSON; --table=set-points breaks them down

out  {"seed","complete","cells":[{"cell","source","item","points","coverage","beyondTarget","minutes":{"median","p90"},
      "timeToOracle","timeToSoak20",…,"setPoints":[…]}],"pooled":{…},"physics":{…}}
     coverage        share of points whose true error lies inside the stated error ± U
     beyondTarget    share whose reported mean is further than the settling target from what it would be with nothing missing
     minutes         from the set-point change to the decision that the point has settled
     timeToOracle    median of that wait over the shortest one that perfect knowledge allows; docs/science/rehearsal.md
     timeToSoak20    median of that wait over arrival and a soak of 20 minutes (likewise 10 and 30)
     falseAccept, falseReject, statedU, error95, uToError, settling, tailSuspected, forecast: docs/science/rehearsal.md

Progress goes to standard error. Interrupting it (Ctrl-C) prints the tables of what was done. Exit 0: all runs conducted;
1: some could not be, or it was interrupted; 2: wrong usage.
`;

const barWidth = 30;
/** In a pipe: a line each time that so many hundredths more are done. */
const progressStep = 5;

/** A terminal sees a bar, a pipe now and then a JSON line. */
const showProgress = (stderr: Surroundings["stderr"] & { readonly isTTY?: boolean }) => {
  let shown = -1;
  return ({ done, of, name }: RehearsalProgress): void => {
    if (stderr.isTTY === true) {
      stderr.write(`\r\u001b[K${done === of ? "" : `${bar(done / of, barWidth)} run ${done} of ${of}, ${name}`}`);
      return;
    }
    const step = Math.floor((100 * done) / of / progressStep);
    if (step === shown) return;
    shown = step;
    stderr.write(`${JSON.stringify({ kind: "progress", what: "rehearsal", done, of, name })}\n`);
  };
};

const readPhysics = async (path: string | undefined): Promise<Physics> => {
  if (path === undefined) return defaultPhysics;
  const text = await readNamedFile(path, "physics file");
  return unwrap(loadDocument(text, basename(path), physicsSchema, { code: "input.invalid" }));
};

const print = ({ stdout }: Surroundings, rehearsal: Rehearsal, table: string | boolean | undefined): void => {
  const { cells, pooled } = rehearsal;
  stdout.write(
    table === undefined
      ? `${JSON.stringify(rehearsal)}\n`
      : rehearsalTable(cells, pooled, { bySetPoint: table === "set-points" }),
  );
};

/** `--table` may stand alone or as `--table=set-points`; the platform's reader knows only one of the two. */
const takeTable = (
  words: readonly string[],
): { readonly rest: readonly string[]; readonly table: string | undefined } => {
  const table = words.find((word) => word === "--table" || word.startsWith("--table="));
  const form = table?.slice("--table=".length) ?? "";
  if (form !== "" && form !== "set-points")
    throw new Fault("usage.wrong", `--table stands alone, or as --table=set-points, not "${form}".`);
  return { rest: words.filter((word) => word !== table), table: table === undefined ? undefined : form };
};

const options = {
  cells: { type: "string" },
  runs: { type: "string" },
  points: { type: "string" },
  seed: { type: "string" },
  physics: { type: "string" },
  threads: { type: "string" },
  "physics-defaults": { type: "boolean" },
} as const;

type Asked =
  | { readonly kind: "cells"; readonly cells: readonly Cell[]; readonly points: number }
  | { readonly kind: "job"; readonly file: string; readonly runs: number };

/** What is to be rehearsed, and how often. @throws Fault `usage.wrong` */
const readSubject = (
  values: { readonly cells?: string; readonly runs?: string; readonly points?: string },
  [file, ...more]: readonly string[],
): Asked => {
  const count = (name: string, word: string | undefined, usual: number): number =>
    word === undefined ? usual : readNumber(name, word, { least: 1, most: 1_000_000, whole: true });
  if ((file === undefined) === (values.cells === undefined) || more.length > 0)
    throw new Fault(
      "usage.wrong",
      "rehearse wants one job file, or --cells with names. dwellpoint rehearse --help tells more.",
    );
  if (file !== undefined) {
    if (values.points !== undefined)
      throw new Fault("usage.wrong", "--points goes with --cells; a job is counted in --runs.");
    return { kind: "job", file, runs: count("runs", values.runs, 20) };
  }
  if (values.runs !== undefined)
    throw new Fault("usage.wrong", "--runs goes with a job; cells are counted in --points.");
  const names = values.cells!.split(",").map((name) => name.trim());
  return { kind: "cells", cells: cellsNamed(names), points: count("points", values.points, 100) };
};

const rehearseSubject = async (words: readonly string[], surroundings: Surroundings): Promise<ExitCode> => {
  const { rest, table } = takeTable(words);
  const { values, positionals } = readWords("rehearse", rest, options);
  if (values["physics-defaults"] === true) {
    surroundings.stdout.write(`${JSON.stringify(defaultPhysics, null, 2)}\n`);
    return 0;
  }
  const subject = readSubject(values, positionals);
  const seed =
    values.seed === undefined ? 1 : readNumber("seed", values.seed, { least: 0, most: 4_294_967_295, whole: true });
  const threads =
    values.threads === undefined
      ? undefined
      : readNumber("threads", values.threads, { least: 1, most: 256, whole: true });
  const settings: RehearsalOptions = {
    seed,
    threads,
    physics: await readPhysics(values.physics),
    entries: readCatalog(surroundings.home),
    onProgress: showProgress(surroundings.stderr),
    signal: surroundings.signal,
  };
  const rehearsal =
    subject.kind === "cells"
      ? await rehearseCells(subject.cells, subject.points, settings)
      : await rehearseJob(await readJob(subject.file), subject.runs, settings);
  print(surroundings, rehearsal, table);
  return rehearsal.complete && rehearsal.cells.every(({ failedRuns }) => failedRuns === 0) ? 0 : 1;
};

export const rehearse: Command = {
  name: "rehearse",
  summary: "many whole runs on the simulated bench: coverage, time and risk",
  help,
  run: rehearseSubject,
};
