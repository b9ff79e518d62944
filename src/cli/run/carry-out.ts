import { randomInt } from "node:crypto";
import { existsSync } from "node:fs";
import { dirname } from "node:path";
import type { RunOpened } from "#calibration";
import { checkReadiness, openRun, RunMemory } from "#engine";
import { Fault, unwrap, type Outcome } from "#fault";
import { openFileJournal, type FileJournal } from "#records";
import { refuseUseless, runName, type BenchHost, type ProbeWish } from "#station";
import { benchHost } from "../bench/bench-host.ts";
import { readLog } from "../read-log.ts";
import { readCatalog } from "../catalog.ts";
import type { ExitCode, Surroundings } from "../command.ts";
import { programOf } from "../program.ts";
import { askOperator } from "./ask-operator.ts";
import { typedAnswersOf } from "./typed-answers-of.ts";
import { conduct } from "./conduct.ts";
import { finishRun, leaveWaiting } from "./finish.ts";
import { makeFolder, resultPath } from "./outputs.ts";
import type { ScriptedCommands } from "./scripted-commands.ts";
import { withPlugged } from "./plugged.ts";
import { progressOn } from "./progress.ts";
import { checkNamedFile, readJob } from "./read-job.ts";
import { logPath, refuseBesideUnfinished } from "./unfinished.ts";

export interface NewRun {
  readonly job: string;
  readonly out: string;
  readonly speed: number;
  readonly seed: number | undefined;
  readonly operator: string | undefined;
  /** Why it is run although its plan refuses it. */
  readonly although: string | undefined;
  readonly script: ScriptedCommands | null;
  /** What is decided where another reference is plugged in, and where others are known. */
  readonly probe: { readonly wish: ProbeWish | undefined; readonly data: string | undefined };
}

export interface ResumedRun {
  readonly log: string;
  readonly speed: number;
  readonly operator: string | undefined;
  readonly adjusted: boolean;
  readonly script: ScriptedCommands | null;
}

const largestSeed = 2 ** 31;

/** A job file conducted from its first point to its files. */
export const openNewRun = async (surroundings: Surroundings, wanted: NewRun): Promise<ExitCode> => {
  const { home } = surroundings;
  const host = benchHost(readCatalog(home));
  const { job, note } = await withPlugged(host, await readJob(wanted.job), wanted.probe);
  const now = new Date();
  unwrap(checkReadiness(job, now.toISOString().slice(0, 10)));
  const overridden = refuseUseless(
    job,
    now.toISOString().slice(0, 10),
    wanted.although === undefined ? null : { reason: wanted.although, by: wanted.operator ?? job.technician },
  );
  const simulated = host.isSimulated(job);
  if (!simulated && wanted.seed !== undefined) {
    throw new Fault("usage.wrong", "--seed is for the simulated bench; this job's instruments are real.");
  }
  await makeFolder(wanted.out);
  await refuseBesideUnfinished(wanted.out, job.job);
  const opened = openRun({
    job,
    run: runName(job, now),
    opened: `${now.toISOString().slice(0, 19)}Z`,
    seed: simulated ? (wanted.seed ?? simulationSeed(job) ?? randomInt(largestSeed)) : null,
    software: programOf(home),
    catalog: host.catalogOf(job),
    overridden,
  });
  const path = logPath(wanted.out, opened.run);
  return carryOut(surroundings, {
    path,
    folder: wanted.out,
    memory: RunMemory.of([opened]),
    openJournal: () => beginLog(path, opened),
    speed: wanted.speed,
    operator: wanted.operator ?? job.technician,
    adjusted: false,
    script: wanted.script,
    note,
  });
};

/** The seed that a job itself gives to its simulated bench. */
const simulationSeed = (job: RunOpened["job"]): number | undefined => {
  const seed = job.bench.simulation?.["seed"];
  return typeof seed === "number" ? seed : undefined;
};

/** A run that was broken off, gone on with from its log. */
export const resumeRun = async (surroundings: Surroundings, wanted: ResumedRun): Promise<ExitCode> => {
  // Opening a journal makes the file where there is none; a log to go on with has to be there.
  await checkNamedFile(wanted.log, "log");
  const memory = new RunMemory();
  const journal = await openFileJournal(wanted.log, (event) => memory.take(event));
  try {
    if (journal.lines === 0) throw new Fault("log.invalid", `${wanted.log} is empty: no run was opened in it.`);
    const { opened, ended, job } = memory.state;
    if (ended !== null) return await finishEnded(surroundings, wanted.log, opened);
    unwrap(checkReadiness({ ...opened.job, kit: job.kit }, new Date().toISOString().slice(0, 10)));
    return await carryOut(surroundings, {
      path: wanted.log,
      folder: dirname(wanted.log),
      memory,
      openJournal: async () => journal,
      speed: wanted.speed,
      operator: wanted.operator ?? opened.job.technician,
      adjusted: wanted.adjusted,
      script: wanted.script,
    });
  } finally {
    await journal.close();
  }
};

/**
 * A run that ended, and whose program died before it had written the result, gets its files now. It may have died before
 * it had switched the source off, too: that is done first, as far as the source answers.
 */
const finishEnded = async (surroundings: Surroundings, path: string, opened: RunOpened): Promise<ExitCode> => {
  const folder = dirname(path);
  if (existsSync(resultPath(folder, opened.run))) {
    throw new Fault(
      "run.not-allowed",
      `The run in ${path} has ended; there is nothing to go on with. evaluate and certify work from its log.`,
    );
  }
  const host = benchHost(readCatalog(surroundings.home));
  if (!host.isSimulated(opened.job)) {
    const off = await switchOff(host, opened);
    if (!off.ok)
      surroundings.stderr.write(
        `${JSON.stringify({ error: { ...off.fault, message: `Make sure that the source is off. ${off.fault.message}` } })}\n`,
      );
  }
  return finishRun(surroundings, folder, path, await readLog(path));
};

const switchOff = async (host: BenchHost, { job, catalog, opened }: RunOpened): Promise<Outcome<null>> => {
  const hosted = await host.open({ job, catalog, opened, from: 0, seed: null, speed: 1, trims: [] });
  try {
    return await hosted.bench.switchOutput(false);
  } finally {
    await hosted.close();
  }
};

/** A new log with its first line; on the disk once this resolves. */
const beginLog = async (path: string, { n: _first, ...opening }: RunOpened): Promise<FileJournal> => {
  const journal = await openFileJournal(path);
  try {
    await journal.append([opening]);
    return journal;
  } catch (thrown) {
    await journal.close();
    throw thrown;
  }
};

/** A line on the terminal says that somebody is there, also while nothing is asked. In a pipe nobody is. */
const presenceAt =
  ({ stdin }: Surroundings) =>
  (touched: () => void): { end(): void } => {
    if ((stdin as { isTTY?: boolean }).isTTY !== true) return { end: () => undefined };
    stdin.on("data", touched);
    return {
      end: () => {
        stdin.off("data", touched);
        stdin.pause();
      },
    };
  };

interface Carried {
  readonly path: string;
  readonly folder: string;
  readonly memory: RunMemory;
  readonly openJournal: () => Promise<FileJournal>;
  readonly speed: number;
  readonly operator: string;
  readonly adjusted: boolean;
  readonly script: ScriptedCommands | null;
  readonly note?: string | null;
}

const carryOut = async (surroundings: Surroundings, carried: Carried): Promise<ExitCode> => {
  const { path, folder, memory, openJournal, speed, operator, adjusted, script, note = null } = carried;
  const progress = progressOn(surroundings.stdout);
  const { job } = memory.state;
  const typing = typedAnswersOf(surroundings, progress, job, operator);
  const conducted = await conduct({
    host: benchHost(readCatalog(surroundings.home)),
    memory,
    openJournal,
    speed,
    operator,
    signal: surroundings.signal,
    show: (view, events) => progress.show(view, events),
    ask: askOperator(surroundings, progress),
    byHand: typing.byHand,
    ...(job.limits?.unattended === undefined ? {} : { presence: presenceAt(surroundings) }),
    adjusted,
    script,
    note,
  }).finally(() => typing.close());
  progress.close();
  const complaints = script?.complaints() ?? [];
  for (const error of complaints) surroundings.stderr.write(`${JSON.stringify({ error })}\n`);
  if (conducted.outcome === "waiting") return leaveWaiting(surroundings, progress, path, conducted);
  const finished = await finishRun(surroundings, folder, path, await readLog(path));
  return complaints.length > 0 ? 1 : finished;
};
