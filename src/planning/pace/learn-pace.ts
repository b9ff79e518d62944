import { jobConverter, type Job, type RunEvent, type TableFigure } from "#calibration";
import { paceOf, type LearntPace } from "./pace.ts";
import { pointTime } from "./point-time.ts";

interface Approach {
  readonly from: number;
  readonly to: number;
  /** K a minute between a tenth and nine tenths of the way; null where the way was too short to tell. */
  readonly rate: number | null;
  /** From the end of the travel until the last item had settled, s; null where it never did. */
  readonly rest: number | null;
}

interface Sample {
  readonly time: number;
  readonly temperature: number;
}

/** Ways shorter than this say nothing of a rate, K. */
const shortestWay = 10;
/** The travel is over when so little of the way is left. */
const arrivedWithin = 0.02;

const firstTime = (samples: readonly Sample[], reached: (temperature: number) => boolean): number | null =>
  samples.find(({ temperature }) => reached(temperature))?.time ?? null;

const approachOf = (samples: readonly Sample[], settled: number | null): Approach | null => {
  const start = samples[0];
  const end = samples.at(-1);
  if (start === undefined || end === undefined || end.time <= start.time) return null;
  const way = end.temperature - start.temperature;
  const done = (share: number) => (temperature: number) =>
    (temperature - start.temperature) * Math.sign(way) >= share * Math.abs(way);
  if (Math.abs(way) < shortestWay) return null;
  const [tenth, nineTenths, arrived] = [0.1, 0.9, 1 - arrivedWithin].map((share) => firstTime(samples, done(share)));
  const rate =
    tenth != null && nineTenths != null && nineTenths > tenth
      ? (0.8 * Math.abs(way)) / ((nineTenths - tenth) / 60)
      : null;
  const rest = settled !== null && arrived != null ? settled - arrived : null;
  return { from: start.temperature, to: end.temperature, rate, rest };
};

/** The approaches of a log: from each set point until its readings, as the reference saw them. */
const approachesOf = (job: Job, log: readonly RunEvent[]): Approach[] => {
  const { reference } = jobConverter(job);
  const channel = job.kit.reference.channel;
  const approaches: Approach[] = [];
  let samples: Sample[] | null = null;
  let settled: number | null = null;
  for (const event of log) {
    if (event.kind === "set-point-commanded") {
      samples = [];
      settled = null;
    } else if (event.kind === "readings-taken" && event.channel === channel && samples !== null) {
      for (const [index, value] of event.values.entries()) {
        const read = reference(value);
        if (read.ok) samples.push({ time: event.times[index]!, temperature: read.value });
      }
    } else if (event.kind === "point-settled") settled = Math.max(settled ?? 0, event.at);
    else if (event.kind === "point-measured" && samples !== null) {
      const approach = approachOf(samples, settled);
      if (approach !== null) approaches.push(approach);
      samples = null;
    } else if (event.kind === "run-paused" || event.kind === "point-skipped") samples = null;
  }
  return approaches;
};

const median = (values: readonly number[]): number => {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
};

/** Rates met within so many kelvin of each other are one row, by their median. */
const rowWidth = 25;

const ratesOf = (approaches: readonly Approach[], rising: boolean): TableFigure | undefined => {
  const rows = new Map<number, number[]>();
  for (const { from, to, rate } of approaches) {
    if (rate === null || to > from !== rising) continue;
    const middle = Math.round((from + to) / 2 / rowWidth) * rowWidth;
    rows.set(middle, [...(rows.get(middle) ?? []), rate]);
  }
  if (rows.size === 0) return undefined;
  return [...rows].sort(([a], [b]) => a - b).map(([temperature, rates]) => ({ temperature, value: median(rates) }));
};

/** A factor outside of this says that something else held the runs up. */
const believable = { least: 0.4, most: 3 };

/** What one run saw of its source: its approaches, and by which job they are to be understood. */
export interface SeenRun {
  readonly job: Job;
  readonly approaches: readonly Approach[];
}

/** The approaches of a run's log; null where it does not begin with the opening of a run. */
export const seenIn = (log: readonly RunEvent[]): SeenRun | null => {
  const [opened] = log;
  return opened?.kind === "run-opened" ? { job: opened.job, approaches: approachesOf(opened.job, log) } : null;
};

/**
 * What earlier runs on the same source tell of its pace: rates over temperature, up and down, and how many times longer than
 * the model says its points took to settle. Null where none is of this source or none tells anything (rule P10). A rehearsal
 * tells nothing of real work, nor the other way round.
 */
export const learnPace = (
  job: Pick<Job, "kit" | "rehearsal">,
  runs: readonly SeenRun[],
  target: (job: Job, item: Job["items"][number], temperature: number) => number,
): LearntPace | null => {
  const seen = runs
    .filter(({ job: ran }) => ran.kit.source.id === job.kit.source.id && ran.rehearsal === job.rehearsal)
    .flatMap(({ job: ran, approaches }) => approaches.map((approach) => ({ job: ran, approach })));
  if (seen.length === 0) return null;
  const approaches = seen.map(({ approach }) => approach);
  const heating = ratesOf(approaches, true);
  const cooling = ratesOf(approaches, false);
  const factors = seen.flatMap(({ job: ran, approach: { from, to, rest } }) => {
    if (rest === null) return [];
    const pace = paceOf(ran.kit.source, { heating, cooling, approaches: seen.length });
    const model = { job: ran, pace, target: (item: Job["items"][number], at: number) => target(ran, item, at) };
    return [rest / pointTime(model, from, to).settle];
  });
  const factor = factors.length === 0 ? undefined : median(factors);
  return {
    heating,
    cooling,
    restFactor: factor === undefined ? undefined : Math.min(believable.most, Math.max(believable.least, factor)),
    approaches: seen.length,
  };
};
