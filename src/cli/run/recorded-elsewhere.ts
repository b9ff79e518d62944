import { basename } from "node:path";
import type { EventDraft, RunEvent, RunOpened } from "#calibration";
import { checkReadiness } from "#engine";
import { Fault, unwrap } from "#fault";
import { logFromReadings, readReadingsCsv } from "#intake";
import { openFileJournal } from "#records";
import { runName } from "#station";
import type { ExitCode, Surroundings } from "../command.ts";
import { programOf } from "../program.ts";
import { finishRun } from "./finish.ts";
import { makeFolder } from "./outputs.ts";
import { readJob, readNamedFile } from "./read-job.ts";
import { logPath } from "./unfinished.ts";

export interface RecordedRun {
  readonly job: string;
  readonly readings: string;
  readonly out: string;
  /** UTC of the file's time 0, where it counts seconds. */
  readonly started: string | undefined;
}

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
  const name = basename(wanted.readings);
  const readings = unwrap(readReadingsCsv(await readNamedFile(wanted.readings, "file of readings"), { job, name }));
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
    if (journal.events.length > 0) {
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
