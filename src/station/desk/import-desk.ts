import { createHash } from "node:crypto";
import { jobConverter, plannedPoints, type Job, type RunOpened } from "#calibration";
import type { ImportedFileName, ReadingsCheck, ReadingsFile, ReadingsQuestion } from "#contract";
import { checkReadiness } from "#engine";
import { Fault, unwrap, type FaultValue, type Outcome } from "#fault";
import {
  logFromReadings,
  mappingOf,
  markedReadings,
  proposeUses,
  readingsMappingSchema,
  readReadings,
  readSheetsApart,
  shapeOf,
  usesOf,
  type Readings,
  type ReadingsMapping,
  type SheetsRead,
} from "#intake";
import type { Records } from "#records";
import { runName } from "../run-name.ts";
import {
  fileChannels,
  foundMarks,
  marksInFile,
  pictureOf,
  shownMarks,
  type TimedTemperature,
} from "./import-picture.ts";

export interface ImportDeskOptions {
  readonly records: Records;
  readonly software: RunOpened["software"];
}

interface HeldFile {
  readonly name: string;
  readonly sha256: string;
  readonly read: SheetsRead;
  /** What came of it last: windows are moved about more often than columns change their meaning. */
  understood?: { readonly by: string; readonly readings: Outcome<Readings> };
}

/** Files are held from one question to the next; the oldest are let go, and the page sends them again. */
const mostHeld = 3;
const rowsShown = 12;
/** Readings of each channel in a window, below which nothing can be said of how they repeat. */
const fewest = 2;

const settingOf = (shape: string): string => `readings-mapping ${shape}`;

const readingsOf = (held: HeldFile, job: Job, mapping: ReadingsMapping): Outcome<Readings> => {
  const by = JSON.stringify([job, mapping]);
  if (held.understood?.by !== by)
    held.understood = { by, readings: readReadings(held.read.sheet, { job, name: held.name, mapping }) };
  return held.understood.readings;
};

/** A stretch that could not be what is meant by it. */
const crossing = (marks: ReadingsQuestion["marks"]): string | null => {
  for (const [index, { from, to, pass, point }] of (marks ?? []).entries()) {
    if (to <= from) return "A window ends before it begins. Correct its times.";
    const others = marks!.slice(0, index);
    if (others.some((other) => other.pass === pass && other.point === point))
      return "A point of a pass can have one window only. Take one of the two away.";
    if (others.some((other) => from <= other.to && to >= other.from))
      return "Two windows overlap: a reading cannot count for two points. Correct their times.";
  }
  return null;
};

/** Readings that were recorded elsewhere: looked at, checked, and taken in as a run. */
export class ImportDesk {
  readonly #options: ImportDeskOptions;
  readonly #files = new Map<string, HeldFile>();

  constructor(options: ImportDeskOptions) {
    this.#options = options;
  }

  async look(job: Job, bytes: Uint8Array, { name, sheet: wanted, zone }: ImportedFileName): Promise<ReadingsFile> {
    const sha256 = createHash("sha256").update(bytes).digest("hex");
    const read = unwrap(await readSheetsApart(bytes, name, wanted));
    const file = `${sha256.slice(0, 16)}-${read.name === null ? 0 : read.names.indexOf(read.name)}`;
    this.#files.delete(file);
    this.#files.set(file, { name, sha256, read });
    const [oldest] = this.#files.keys();
    if (this.#files.size > mostHeld && oldest !== undefined) this.#files.delete(oldest);
    const remembered = await this.#remembered(job, read);
    return {
      file,
      name,
      sheets: [...read.names],
      sheet: read.name,
      rows: read.sheet.rows.length,
      first: read.sheet.rows.slice(0, rowsShown).map(({ line, cells }) => ({ line, cells: [...cells] })),
      uses: structuredClone(remembered ?? proposeUses(read.sheet, job, zone ?? null)) as ReadingsFile["uses"],
      usesFrom: remembered === null ? "proposed" : "remembered",
    };
  }

  async check(job: Job, question: ReadingsQuestion): Promise<ReadingsCheck> {
    return (await this.#understand(job, question)).check;
  }

  /** Takes the readings in as a run that has ended. Throws what stands in the way. Answers the run's name. */
  async take(job: Job, question: ReadingsQuestion): Promise<string> {
    const { records, software } = this.#options;
    const { check, readings, mapping } = await this.#understand(job, question);
    if (check.obstacle !== null || readings === null || mapping === null || check.started === null)
      throw new Fault("input.invalid", check.obstacle ?? "These readings cannot be taken in yet.", {
        data: { fields: check.problems.map(({ column, ...each }) => ({ ...each, path: column, column: null })) },
      });
    const { name, sha256, read } = this.#held(question.file);
    const marked = check.marksFrom === "file" ? readings : markedReadings(readings, check.marks);
    const { runs } = await records.listRuns({ job: job.job, limit: 500 });
    const opened = new Date(check.started);
    const before = runs.find((run) => Date.parse(run.opened) === opened.getTime());
    if (before !== undefined)
      throw new Fault(
        "run.not-allowed",
        `Readings that begin at this very moment were taken in before, as run ${before.run}. Open that run, or choose another file.`,
      );
    const log = unwrap(
      logFromReadings({
        job,
        readings: marked,
        run: runName(job, opened, new Set(runs.map(({ run }) => run))),
        opened: check.started,
        software,
        catalog: [] as RunOpened["catalog"],
        notes: [
          `SHA-256 of ${name}: ${sha256}.`,
          `Columns: ${question.uses.uses.flatMap(({ column, use, unit }) => (use === "none" ? [] : [`"${column}" is ${use.replace("channel:", "channel ")}${unit === undefined ? "" : ` in ${unit}`}`])).join(", ")}.`,
          ...(check.marksFrom === "file"
            ? []
            : ["Which readings count for a point was chosen afterwards, on the page."]),
        ],
      }),
    );
    const run = await records.importLog(log);
    await records.writeSetting(settingOf(shapeOf(read.sheet)), mapping);
    return run;
  }

  #held(file: string): HeldFile {
    const held = this.#files.get(file);
    if (held === undefined)
      throw new Fault("records.not-found", "The station has let this file go. Choose it once more.", {
        data: { file },
      });
    return held;
  }

  /** The mapping with which a file of this shape was taken in before, where it speaks of channels that this job has. */
  async #remembered(job: Job, { sheet }: SheetsRead) {
    const kept = readingsMappingSchema.safeParse(await this.#options.records.readSetting(settingOf(shapeOf(sheet))));
    if (!kept.success) return null;
    const channels = [
      ...Object.values(kept.data.channels ?? {}).map(({ channel }) => channel),
      ...Object.values(kept.data.channelNames ?? {}),
    ];
    return channels.every((channel) => channel in job.bench.channels) ? usesOf(kept.data, sheet) : null;
  }

  async #understand(job: Job, { file, uses, started, marks: given }: ReadingsQuestion) {
    const held = this.#held(file);
    const { read } = held;
    const empty: ReadingsCheck = {
      obstacle: null,
      problems: [],
      problemCount: 0,
      fileChannels: fileChannels(read.sheet, uses),
      channels: [],
      unused: [],
      started: null,
      needsStart: false,
      marksFrom: "file",
      marks: [],
      missing: [],
      picture: { times: [], reference: [] },
    };
    const nothing = (fault: FaultValue, mapping: ReadingsMapping | null) => {
      const fields = fault.data?.["fields"];
      const problems = (Array.isArray(fields) ? fields : []) as {
        line: number | null;
        path: string;
        message: string;
      }[];
      return {
        mapping,
        readings: null,
        check: {
          ...empty,
          obstacle:
            problems.length === 0
              ? fault.message
              : "Some rows cannot be used. Correct the file, or what its columns mean.",
          problems: problems.map(({ line, path, message }) => ({ line, column: path, message })),
          problemCount: Number(fault.data?.["count"] ?? problems.length),
        },
      };
    };
    const mapping = mappingOf(uses);
    if (!mapping.ok) return nothing(mapping.fault, null);
    const outcome = readingsOf(held, job, mapping.value);
    if (!outcome.ok) return nothing(outcome.fault, mapping.value);
    const readings = outcome.value;
    const convert = jobConverter(job);
    const reference: TimedTemperature[] = readings.rows
      .filter(({ channel }) => channel === job.kit.reference.channel)
      .toSorted((a, b) => a.time - b.time)
      .map(({ time, value }) => {
        const converted = convert.reference(value);
        return { time, temperature: converted.ok ? converted.value : null };
      });
    const marksFrom = given !== null ? "given" : readings.hasPoints ? "file" : "found";
    const marks = given ?? (readings.hasPoints ? marksInFile(readings) : foundMarks(job, reference));
    const points = plannedPoints(job.procedure);
    const passesIn = job.procedure.passes.filter(
      (pass) => pass === "as-found" || marks.some((mark) => mark.pass === pass),
    );
    const missing = passesIn.flatMap((pass) =>
      points.flatMap(({ temperature }, point) =>
        marks.some((mark) => mark.pass === pass && mark.point === point) ? [] : [{ pass, point, temperature }],
      ),
    );
    const moment = readings.start ?? started;
    const shown = shownMarks(job, readings, reference, marks);
    return {
      mapping: mapping.value,
      readings,
      check: {
        ...empty,
        obstacle: this.#obstacle(job, { moment, marks: shown, given }),
        channels: Object.entries(job.bench.channels).flatMap(([channel, { unit }]) => {
          const count = readings.rows.filter((row) => row.channel === channel).length;
          return count === 0 ? [] : [{ channel, unit, readings: count }];
        }),
        unused: [...readings.unusedColumns],
        started: moment,
        needsStart: readings.start === null,
        marksFrom,
        marks: shown,
        missing,
        picture: pictureOf(reference),
      } satisfies ReadingsCheck,
    };
  }

  #obstacle(
    job: Job,
    {
      moment,
      marks,
      given,
    }: { moment: string | null; marks: ReadingsCheck["marks"]; given: ReadingsQuestion["marks"] },
  ): string | null {
    if (moment === null) return "The file counts seconds and does not say from when. Say when second 0 was.";
    const ready = checkReadiness(job, moment.slice(0, 10));
    if (!ready.ok) return ready.fault.message;
    const points = plannedPoints(job.procedure).length;
    if ((given ?? []).some(({ point }) => point >= points)) return "The job has no such point. Load the page again.";
    if (marks.length === 0) return "No point was found in these readings. Say from when to when each was measured.";
    const thin = marks.find(({ readings }) => readings < fewest);
    return (
      crossing(given) ??
      (thin === undefined
        ? null
        : `The window of ${thin.temperature} °C ${thin.pass.replace("-", " ")} holds ${thin.readings} readings of one of its channels; ${fewest} are the least. Make it longer, or leave it out.`)
    );
  }
}
