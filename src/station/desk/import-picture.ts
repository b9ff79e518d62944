import { plannedPoints, type Job } from "#calibration";
import type { ColumnUsesMessage, ReadingsCheck } from "#contract";
import { proposeMarks, type PointMark } from "#intake";
import type { Readings, Sheet } from "#intake";

export interface TimedTemperature {
  readonly time: number;
  /** °C; null where the signal gives none. */
  readonly temperature: number | null;
}

const pictureRows = 500;
const mostNames = 60;
/** As far from a point a window is looked for, K; less where another point is near. */
const farthest = 3;

/** The names of channels that stand in a file, where a column holds them. */
export const fileChannels = (sheet: Sheet, { names, uses }: ColumnUsesMessage): string[] => {
  const column = uses.find(({ use }) => use === "names")?.column;
  const header = sheet.rows.find(({ line }) => line >= names);
  const at = column === undefined ? -1 : (header?.cells.indexOf(column) ?? -1);
  if (at < 0) return [];
  const found = new Set(sheet.rows.filter(({ line }) => line > header!.line).map(({ cells }) => cells[at] ?? ""));
  return [...found].filter((name) => name !== "").slice(0, mostNames);
};

/** The stretches that a file itself marks. */
export const marksInFile = ({ rows }: Readings): PointMark[] => {
  const marks: PointMark[] = [];
  for (const { time, pass, point } of rows.toSorted((a, b) => a.time - b.time)) {
    if (point === null) continue;
    const index = marks.findIndex((mark) => mark.pass === pass && mark.point === point);
    const known = marks[index];
    if (known === undefined) marks.push({ pass, point, from: time, to: time });
    else marks[index] = { ...known, to: time };
  }
  return marks;
};

/** Where the points of a job probably are, in a file that does not say it. */
export const foundMarks = ({ procedure }: Job, reference: readonly TimedTemperature[]): PointMark[] => {
  const known = reference.flatMap(({ time, temperature }) => (temperature === null ? [] : [{ time, temperature }]));
  const points = plannedPoints(procedure);
  const levels = [...new Set(points.map(({ temperature }) => temperature))].toSorted((a, b) => a - b);
  const gaps = levels.slice(1).map((level, index) => level - levels[index]!);
  const { count, interval } = procedure.readings;
  return proposeMarks(
    known.map(({ time }) => time),
    known.map(({ temperature }) => temperature),
    {
      visits: procedure.passes.flatMap((pass) =>
        points.map(({ temperature }, point) => ({ pass, point, temperature })),
      ),
      length: (count - 1) * interval,
      within: Math.min(farthest, ...gaps.map((gap) => 0.4 * gap)),
    },
  );
};

/** Each window with what it holds: the fewest readings of reference and items, and where the reference was. */
export const shownMarks = (
  job: Job,
  { rows }: Readings,
  reference: readonly TimedTemperature[],
  marks: readonly PointMark[],
): ReadingsCheck["marks"] => {
  const points = plannedPoints(job.procedure);
  const needed = new Set([job.kit.reference.channel, ...job.items.map(({ channel }) => channel)]);
  return marks.flatMap((mark) => {
    const planned = points[mark.point];
    if (planned === undefined) return [];
    const within = ({ time }: { readonly time: number }) => time >= mark.from && time <= mark.to;
    const counts = new Map([...needed].map((channel) => [channel, 0]));
    for (const row of rows) {
      const count = counts.get(row.channel);
      if (count !== undefined && within(row)) counts.set(row.channel, count + 1);
    }
    const known = reference.filter(within).flatMap(({ temperature }) => (temperature === null ? [] : [temperature]));
    const mean = known.length === 0 ? null : known.reduce((sum, each) => sum + each, 0) / known.length;
    return [{ ...mark, temperature: planned.temperature, readings: Math.min(...counts.values()), reference: mean }];
  });
};

/** The reference over the whole record, thinned to what a picture can show. */
export const pictureOf = (reference: readonly TimedTemperature[]): ReadingsCheck["picture"] => {
  const step = Math.max(1, Math.ceil(reference.length / pictureRows));
  const shown = reference.filter((_, index) => index % step === 0 || index === reference.length - 1);
  return { times: shown.map(({ time }) => time), reference: shown.map(({ temperature }) => temperature) };
};
