import { basename } from "node:path";
import type { EventDraft, Job, RunEvent, RunOpened } from "#calibration";
import { checkReadiness } from "#engine";
import { Fault, unwrap } from "#fault";
import { logFromReadings, readReadings, readSheets, shapeOf, type Readings, type Sheet } from "#intake";
import { openFileJournal } from "#records";
import { runName } from "#station";
import type { ExitCode, Surroundings } from "../command.ts";
import { programOf } from "../program.ts";
import { finishRun } from "./finish.ts";
import { makeFolder } from "./outputs.ts";
import { readJob, readNamedBytes } from "./read-job.ts";
import { keepMapping, readMapping, recallMapping } from "./remembered-mappings.ts";
import { logPath } from "./unfinished.ts";

export interface RecordedRun {
  readonly job: string;
  readonly readings: string;
  readonly out: string;
  /** UTC of the file's time 0, where it counts seconds. */
  readonly started: string | undefined;
  /** What the file's columns mean, where it does not name them as this program does. */
  readonly mapping: string | undefined;
  /** Sheet of a workbook; the first where nothing is said. */
  readonly sheet: string | undefined;
}

const readSheet = async ({ readings, sheet }: RecordedRun, name: string): Promise<Sheet> =>
  unwrap(await readSheets(await readNamedBytes(readings, "file of readings"), name, sheet)).sheet;

/** The readings, by the mapping that was given, else by one that fitted a file of this shape before, else as they name themselves. */
const takeReadings = async (
  wanted: RecordedRun,
  job: Job,
  { environment, stderr }: Surroundings,
): Promise<Readings> => {
  const name = basename(wanted.readings);
  const sheet = await readSheet(wanted, name);
  const shape = shapeOf(sheet);
  const given = wanted.mapping === undefined ? null : await readMapping(wanted.mapping);
  if (given === null) {
    const plain = readReadings(sheet, { job, name });
    // Only a file that does not name its columns as this program does is looked up.
    if (plain.ok || plain.fault.code !== "input.malformed") return unwrap(plain);
    const recalled = await recallMapping(shape, environment);
    if (recalled === null) return unwrap(plain);
    stderr.write("The mapping with which a file of this shape was read before is used.\n");
    return unwrap(readReadings(sheet, { job, name, mapping: recalled }));
  }
  const readings = unwrap(readReadings(sheet, { job, name, mapping: given }));
  const kept = await keepMapping(shape, given, environment);
  stderr.write(
    kept === null
      ? "The mapping was used, but could not be kept for the next file: the folder of settings cannot be written.\n"
      : `The mapping is kept for files of this shape (${kept}).\n`,
  );
  return readings;
};

const draftOf = ({ n: _number, ...draft }: RunEvent): EventDraft => draft as EventDraft;

/** `--started`: a moment in UTC. */
const readStart = (word: string): string => {
  const time = Date.parse(word);
  if (/^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?Z$/.test(word) && Number.isFinite(time))
    return new Date(time).toISOString();
  throw new Fault(
    "usage.wrong",
    `--started wants a date and time in UTC, for example 2026-03-31T09:30:00Z, not "${word}".`,
  );
};

/** Readings that were recorded elsewhere, evaluated and certified as if they had been taken here. */
export const runFromReadings = async (surroundings: Surroundings, wanted: RecordedRun): Promise<ExitCode> => {
  const started = wanted.started === undefined ? null : readStart(wanted.started);
  const job = await readJob(wanted.job);
  const readings = await takeReadings(wanted, job, surroundings);
  const day = readings.start ?? started;
  if (day !== null) unwrap(checkReadiness(job, day.slice(0, 10)));
  const run = runName(job, new Date(day ?? 0));
  const log = unwrap(
    logFromReadings({
      job,
      readings,
      run,
      opened: started,
      software: programOf(surroundings.home),
      catalog: [] as RunOpened["catalog"],
    }),
  );
  await makeFolder(wanted.out);
  const path = logPath(wanted.out, run);
  const journal = await openFileJournal(path);
  try {
    if (journal.lines > 0) {
      throw new Fault(
        "run.not-allowed",
        `${path} is there already: these readings were taken in before. Give another --out, or move that log away.`,
      );
    }
    await journal.append(log.map(draftOf));
  } finally {
    await journal.close();
  }
  return finishRun(surroundings, wanted.out, path, log);
};
