import { failure, success, type Outcome } from "#fault";
import {
  checkSequence,
  logFormat,
  plannedPoints,
  runOpenedSchema,
  type EventDraft,
  type Job,
  type RunEvent,
  type RunOpened,
} from "#calibration";
import { pointWindows, type PointWindow } from "./point-windows.ts";
import type { FileReading, Readings } from "./readings.ts";

export interface LogInput {
  readonly job: Job;
  readonly readings: Readings;
  /** Identifier of the run. */
  readonly run: string;
  /** UTC of the file's time 0 (`2026-11-25T09:00:00Z`); a file with dates and times says it itself, and may be given null. */
  readonly opened: string | null;
  readonly software: RunOpened["software"];
  /** Catalogue entries that the log should keep; none where no instrument of ours was used. */
  readonly catalog: RunOpened["catalog"];
  /** What else the log should say of how the file was read. */
  readonly notes?: readonly string[] | undefined;
}

/** Every event but the opening, before the log gives it its number. */
type Draft = Exclude<EventDraft, { kind: "run-opened" }>;
type Block = Extract<Draft, { kind: "readings-taken" }>;

/** One block a channel, in order of their last times, as a recorder would have written them. */
const blocks = (rows: readonly FileReading[]): Block[] => {
  const channels = [...new Set(rows.map(({ channel }) => channel))];
  return channels
    .map((channel) => ({ channel, list: rows.filter((row) => row.channel === channel) }))
    .map(({ channel, list }): Block => ({
      kind: "readings-taken",
      at: list.at(-1)!.time,
      channel,
      unit: list[0]!.unit,
      times: list.map(({ time }) => time),
      values: list.map(({ value }) => value),
      wire: list.map(({ digits }) => digits),
    }))
    .toSorted((a, b) => a.at - b.at);
};

const windowEvents = (job: Job, window: PointWindow, begun: number, name: string): Draft[] => {
  const { pass, point, from, to, approach, inside, leftOut } = window;
  return [
    {
      kind: "set-point-commanded",
      at: begun,
      pass,
      point,
      temperature: plannedPoints(job.procedure)[point]!.temperature,
    },
    ...blocks(approach),
    ...blocks(inside),
    ...leftOut.map(({ channel, time, line }): Draft => ({
      kind: "reading-rejected",
      at: to,
      channel,
      time,
      reason: `${name}:${line} does not count it to the point`,
    })),
    { kind: "point-measured", at: to, pass, point, from, to },
  ];
};

/** Points that were planned for a pass and are not in the file, said as skipped. */
const skipped = (
  job: Job,
  pass: PointWindow["pass"],
  windows: readonly PointWindow[],
  at: number,
  name: string,
): Draft[] =>
  plannedPoints(job.procedure).flatMap((_, point): Draft[] =>
    windows.some((window) => window.pass === pass && window.point === point)
      ? []
      : [{ kind: "point-skipped", at, pass, point, reason: `${name} has no readings of it`, by: job.technician }],
  );

const draftsOf = (
  job: Job,
  { name, rows }: Readings,
  windows: readonly PointWindow[],
  after: readonly FileReading[],
  notes: readonly string[],
): Draft[] => {
  const drafts: Draft[] = [
    {
      kind: "note-added",
      at: 0,
      text: `Recorded elsewhere; ${rows.length} readings taken from ${name}.`,
      by: job.technician,
    },
    ...notes.map((text): Draft => ({ kind: "note-added", at: 0, text, by: job.technician })),
  ];
  let at = 0;
  for (const pass of job.procedure.passes) {
    const own = windows.filter((window) => window.pass === pass);
    // A second pass of which the file holds nothing was not made; the first is always part of a run.
    if (own.length === 0 && pass !== "as-found") continue;
    if (pass === "as-left") {
      drafts.push({
        kind: "note-added",
        at,
        text: "What was adjusted between as found and as left is not recorded in the file.",
        by: job.technician,
      });
    }
    drafts.push({ kind: "pass-begun", at, pass });
    for (const window of own) {
      drafts.push(...windowEvents(job, window, at, name));
      at = window.to;
    }
    drafts.push(...skipped(job, pass, own, at, name));
  }
  drafts.push(...blocks(after));
  const end = after.at(-1)?.time ?? at;
  drafts.push({ kind: "run-ended", at: end, outcome: "completed", by: job.technician });
  return drafts;
};

/**
 * The run log of readings that were recorded elsewhere, as the engine would have kept it. It holds no evidence of settling:
 * evaluation puts the drift over each window in its place. `input.invalid` where the file does not say which readings
 * belong to which point, or when it began.
 */
export const logFromReadings = ({
  job,
  readings,
  run,
  opened,
  software,
  catalog,
  notes = [],
}: LogInput): Outcome<RunEvent[]> => {
  const began = readings.start ?? opened;
  if (began === null) {
    return failure(
      "input.invalid",
      `${readings.name} counts seconds and does not say from when. Say when second 0 was, in UTC, for example 2026-03-31T09:30:00Z, or write dates and times in the column "time".`,
    );
  }
  const parted = pointWindows(job, readings);
  if (!parted.ok) return parted;
  const first = runOpenedSchema.safeParse({
    kind: "run-opened",
    format: logFormat,
    n: 0,
    at: 0,
    run,
    opened: began,
    software,
    seed: null,
    job,
    catalog,
  });
  if (!first.success) {
    const issue = first.error.issues[0]!;
    return failure("input.invalid", `The run cannot be opened: ${issue.path.map(String).join(".")}: ${issue.message}.`);
  }
  const drafts = draftsOf(job, readings, parted.value.windows, parted.value.after, notes);
  const log: RunEvent[] = [first.data, ...drafts.map((draft, index): RunEvent => ({ ...draft, n: index + 1 }))];
  checkSequence(log);
  return success(log);
};
