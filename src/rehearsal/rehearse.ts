import { isTyped, type Job } from "#calibration";
import { Fault } from "#fault";
import type { InstrumentEntry } from "#instruments";
import { createPool } from "#parallel";
import { rehearsalItems } from "./cell-items.ts";
import type { Cell } from "./cells.ts";
import type { PointOutcome, RunOutcome } from "./outcome.ts";
import type { Physics } from "./physics.ts";
import { cellPhysics, runSeed, type Subject } from "./rehearse-run.ts";
import { cellTable, figuresOf, type CellTable, type Figures } from "./table.ts";
import type { RunsTask } from "./worker.ts";

export interface RehearsalProgress {
  /** Runs done and to do, in the whole rehearsal. */
  readonly done: number;
  readonly of: number;
  /** What the latest run belonged to. */
  readonly name: string;
}

export interface RehearsalOptions {
  readonly entries: readonly InstrumentEntry[];
  readonly physics: Physics;
  /** The same seed gives the same table, whatever the number of threads. */
  readonly seed: number;
  readonly threads?: number | undefined;
  readonly onProgress?: ((progress: RehearsalProgress) => void) | undefined;
  /** Each table as soon as its last run is in. */
  readonly onCell?: ((cell: CellTable) => void) | undefined;
  /** Aborted: no more runs are begun; the tables are of what was done, and `complete` is false. */
  readonly signal?: AbortSignal | undefined;
}

export interface Rehearsal {
  readonly seed: number;
  readonly physics: Physics;
  readonly complete: boolean;
  readonly cells: readonly CellTable[];
  /** All standard cells together; all items of a job. */
  readonly pooled: Figures;
  /** Seconds of simulated time and of real time are not in here: they differ from machine to machine. */
}

interface Part {
  readonly name: string;
  readonly subject: Subject;
  readonly runs: RunsTask["runs"];
  tables(outcomes: readonly RunOutcome[]): readonly CellTable[];
}

/** Runs that go to a thread at once: half a second or so of work, so that a cancel is soon obeyed. */
const runsInTask = 2;

const conductParts = async (
  parts: readonly Part[],
  { entries, threads, onProgress, onCell, signal }: RehearsalOptions,
): Promise<{
  readonly cells: readonly CellTable[];
  readonly outcomes: readonly RunOutcome[][];
  readonly complete: boolean;
}> => {
  const tasks = parts.flatMap((part, index) =>
    Array.from({ length: Math.ceil(part.runs.length / runsInTask) }, (_, place) => ({
      index,
      runs: part.runs.slice(place * runsInTask, (place + 1) * runsInTask),
    })),
  );
  const of = parts.reduce((sum, { runs }) => sum + runs.length, 0);
  const outcomes: RunOutcome[][] = parts.map(() => []);
  let done = 0;
  let complete = true;
  const pool = createPool({ module: new URL("./worker.ts", import.meta.url), threads });
  const under: number[] = [];
  try {
    await pool.inOrder<RunsTask, readonly RunOutcome[]>(
      {
        name: "runs",
        next: (place) => {
          const task = tasks[place];
          if (task === undefined) return undefined;
          under.push(task.index);
          return { subject: parts[task.index]!.subject, entries, runs: task.runs };
        },
        take: (_, results) => {
          const index = under.shift()!;
          const part = parts[index]!;
          outcomes[index]!.push(...results);
          done += results.length;
          onProgress?.({ done, of, name: part.name });
          if (outcomes[index]!.length === part.runs.length)
            part.tables(outcomes[index]!).forEach((cell) => onCell?.(cell));
          return true;
        },
      },
      signal,
    );
  } catch (thrown) {
    if (signal?.aborted !== true) throw thrown;
    complete = false;
  } finally {
    await pool.close();
  }
  const begun = outcomes.flatMap((some, index) => (some.length === 0 ? [] : [{ some, part: parts[index]! }]));
  return { cells: begun.flatMap(({ some, part }) => part.tables(some)), outcomes, complete };
};

const cellPart = (cell: Cell, points: number, { physics: asked, seed }: RehearsalOptions): Part => {
  const physics = cellPhysics(cell, asked);
  const each = physics.setPoints[cell.source].length;
  const runs = Array.from({ length: Math.ceil(points / each) }, (_, index) => ({
    seed: runSeed(seed, cell.name, index),
    points: Math.min(each, points - index * each),
  }));
  const about = {
    cell: cell.name,
    source: cell.source,
    item: rehearsalItems[cell.item].title,
    stress: cell.stress,
  };
  return {
    name: cell.name,
    subject: { kind: "cell", cell, physics },
    runs,
    tables: (outcomes) => [
      cellTable(
        about,
        outcomes.flatMap((run) => run.points),
        outcomes,
        "item",
      ),
    ],
  };
};

/** Rehearses cells: `points` points in each. @throws Fault where the work cannot be shared out; a run's own fault is in its table */
export const rehearseCells = async (
  cells: readonly Cell[],
  points: number,
  options: RehearsalOptions,
): Promise<Rehearsal> => {
  const parts = cells.map((cell) => cellPart(cell, points, options));
  const { cells: tables, outcomes, complete } = await conductParts(parts, options);
  const isStandard = (index: number): boolean => cells[index]!.stress === null;
  const pooledFrom = cells.some(({ stress }) => stress === null)
    ? outcomes.filter((_, index) => isStandard(index))
    : outcomes;
  return {
    seed: options.seed,
    physics: options.physics,
    complete,
    cells: tables,
    pooled: figuresOf(pooledFrom.flat().flatMap((run) => run.points)),
  };
};

/** Rehearses a job of one's own, `runs` times; a table for each of its items. @throws Fault `job.invalid` where its bench is not simulated */
export const rehearseJob = async (job: Job, runs: number, options: RehearsalOptions): Promise<Rehearsal> => {
  const real = job.bench.instruments.find(({ at }) => at !== "simulated");
  if (real !== undefined) {
    throw new Fault(
      "job.invalid",
      `Instrument "${real.id}" of the job is at ${real.at}. A rehearsal needs the simulated bench: write "simulated" as the place of every instrument.`,
    );
  }
  const typed = Object.keys(job.bench.channels).find((channel) => isTyped(job.bench, channel));
  if (typed !== undefined || job.bench.source === "by-hand") {
    throw new Fault(
      "job.invalid",
      `A rehearsal has nobody who reads or sets by hand, and in this job ${typed === undefined ? "the heat source is set" : `the channel "${typed}" is typed`} by a person. Give every channel and the source an instrument.`,
    );
  }
  const ofItem = (outcomes: readonly RunOutcome[], id: string): PointOutcome[] =>
    outcomes.flatMap((run) => run.points.filter(({ item }) => item === id));
  const part: Part = {
    name: job.job,
    subject: { kind: "job", job, physics: options.physics },
    runs: Array.from({ length: runs }, (_, index) => ({ seed: runSeed(options.seed, job.job, index), points: null })),
    tables: (outcomes) =>
      job.items.map((item) =>
        cellTable(
          { cell: job.job, source: job.kit.source.class, item: item.tag, stress: null },
          ofItem(outcomes, item.id),
          outcomes,
          item.id,
        ),
      ),
  };
  const { cells, outcomes, complete } = await conductParts([part], options);
  return {
    seed: options.seed,
    physics: options.physics,
    complete,
    cells,
    pooled: figuresOf(outcomes.flat().flatMap((run) => run.points)),
  };
};
