import { Fault } from "#fault";
import { runEventSchema, type RunEvent } from "./events.ts";
import type { RunLog } from "./kept-log.ts";
import { soundReadings } from "./sound-readings.ts";

const invalid = (line: number, sentence: string, data: Record<string, unknown> = {}, cause?: unknown): Fault =>
  new Fault("log.invalid", `Line ${line} of the log: ${sentence}`, {
    data: { line, ...data },
    ...(cause === undefined ? {} : { cause }),
  });

const readJson = (text: string, line: number): unknown => {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw invalid(
      line,
      "expected one whole JSON object; it may have been cut off or edited. Take the log from its original place.",
      {},
      error,
    );
  }
};

/** One line of the log, checked against the schema of its kind. `line` counts from 1, for the sentence. */
export const parseEvent = (text: string, line: number): RunEvent => {
  const value = readJson(text, line);
  const readings = soundReadings(value);
  if (readings !== undefined) return readings;
  const checked = runEventSchema.safeParse(value);
  if (checked.success) return checked.data;
  const issue = checked.error.issues[0]!;
  const path = issue.path.map(String).join(".");
  throw invalid(line, `${path === "" ? "" : `${path}: `}${issue.message}.`, { path });
};

/**
 * What must hold from one event to the next: the first opens the run and no other does, numbers count from 0 without a
 * gap, and the run's clock never falls. The first break is thrown as `log.invalid` with its line. In a log that was
 * thinned while its run went on numbers only rise.
 */
export const checkSequence = (log: RunLog): void => {
  if (log.length === 0) throw invalid(1, "expected run-opened, but the log is empty.");
  let last = 0;
  let n = -1;
  for (const [index, event] of log.entries()) {
    const line = index + 1;
    const follows = log.thinned === true ? event.n > n : event.n === index;
    n = event.n;
    if ((event.kind === "run-opened") !== (index === 0)) {
      throw invalid(line, index === 0 ? `expected run-opened first, not ${event.kind}.` : "a run is opened only once.");
    }
    if (!follows)
      throw invalid(line, `expected n = ${index}, not ${event.n}: a line is missing or out of place.`, { n: event.n });
    if (event.at < last)
      throw invalid(
        line,
        `at = ${event.at} s is before ${last} s of the line above: the run's clock never goes back.`,
        { at: event.at },
      );
    last = event.at;
  }
};

/**
 * A run log from its lines (JSON Lines; empty lines at the end are allowed). Anything that breaks the format is thrown as
 * `log.invalid` with the line, counted from 1, and what was expected there: nothing of a damaged log is evaluated.
 */
export const parseLog = (lines: Iterable<string>): RunEvent[] => {
  const log: RunEvent[] = [];
  let line = 0;
  let blank = 0;
  for (const text of lines) {
    line += 1;
    if (text.trim() === "") {
      if (blank === 0) blank = line;
      continue;
    }
    if (blank > 0) throw invalid(blank, "an empty line; a log has one event on every line.");
    log.push(parseEvent(text, line));
  }
  checkSequence(log);
  return log;
};
