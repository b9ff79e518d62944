import { failure, success, type Outcome } from "#fault";
import { plannedPoints, type Job, type Pass } from "#calibration";
import type { FileReading, Readings } from "./readings.ts";

/** The readings that count for one point, and those on the way to it; each in order of time. */
export interface PointWindow {
  readonly pass: Pass;
  readonly point: number;
  readonly from: number;
  readonly to: number;
  readonly approach: readonly FileReading[];
  readonly inside: readonly FileReading[];
  /** Readings inside the window that the file leaves out of the point, on channels that it marks otherwise. */
  readonly leftOut: readonly FileReading[];
}

const refuse = (name: string, message: string, line?: number): Outcome<never> =>
  failure("input.invalid", `${name}${line === undefined ? "" : `:${line}`}: ${message}`, {
    document: name,
    ...(line === undefined ? {} : { line }),
  });

/** A stretch of time in which the file marks one point of one pass and no other. */
interface Stretch {
  readonly pass: Pass;
  readonly point: number;
  readonly from: number;
  to: number;
  readonly line: number;
}

/** Marked stretches in order of time; each point of a pass may have one. */
const stretchesOf = (
  name: string,
  rows: readonly FileReading[],
  nameOf: (pass: Pass, point: number) => string,
): Outcome<Stretch[]> => {
  const stretches: Stretch[] = [];
  for (const { pass, point, time, line } of rows) {
    if (point === null) continue;
    const last = stretches.at(-1);
    if (last !== undefined && last.pass === pass && last.point === point) {
      last.to = time;
      continue;
    }
    const earlier = stretches.find((stretch) => stretch.pass === pass && stretch.point === point);
    if (earlier !== undefined) {
      return refuse(
        name,
        `${nameOf(pass, point)} begins again here; it began in line ${earlier.line} and another point came between. Mark only the readings that count.`,
        line,
      );
    }
    if (pass === "as-found" && last?.pass === "as-left")
      return refuse(
        name,
        "as-found comes after as-left here. As found is measured first; check the column pass.",
        line,
      );
    stretches.push({ pass, point, from: time, to: time, line });
  }
  return success(stretches);
};

/** The readings of a file by the points to which it says they belong, in order of time. */
export const pointWindows = (
  job: Job,
  { name, rows, hasPoints }: Readings,
): Outcome<{ windows: PointWindow[]; after: FileReading[] }> => {
  if (!hasPoints) {
    return refuse(
      name,
      'nothing says which readings belong to which point. Add a column "point" and fill it for the readings that count: the number of the point (1 is the first) or its temperature; leave it empty on the way to a point.',
    );
  }
  const ordered = rows.toSorted((a, b) => a.time - b.time || a.line - b.line);
  const nameOf = (pass: Pass, point: number): string =>
    `the point ${point + 1} (${plannedPoints(job.procedure)[point]!.temperature} °C) ${pass}`;
  const stretches = stretchesOf(name, ordered, nameOf);
  if (!stretches.ok) return stretches;
  let start = 0;
  const windows = stretches.value.map(({ pass, point, from, to }): PointWindow => {
    const rest = ordered.slice(start);
    const until = rest.findIndex(({ time }) => time > to);
    const upTo = until === -1 ? rest : rest.slice(0, until);
    start += upTo.length;
    const inside = upTo.filter(({ time }) => time >= from);
    const marked = new Set(inside.filter((row) => row.point !== null).map(({ channel }) => channel));
    return {
      pass,
      point,
      from,
      to,
      approach: upTo.filter(({ time }) => time < from),
      inside,
      leftOut: inside.filter((row) => row.point === null && marked.has(row.channel)),
    };
  });
  return success({ windows, after: ordered.slice(start) });
};
