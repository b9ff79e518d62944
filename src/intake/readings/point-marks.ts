import type { Pass } from "#calibration";
import type { Readings } from "./readings.ts";

/** A stretch of a file whose readings count for a point, s from its time 0. */
export interface PointMark {
  readonly pass: Pass;
  readonly point: number;
  readonly from: number;
  readonly to: number;
}

/** The same readings with other marks: those of a stretch count for its point, all others are on the way to one. */
export const markedReadings = (readings: Readings, marks: readonly PointMark[]): Readings => ({
  ...readings,
  hasPoints: marks.length > 0,
  rows: readings.rows.map((row) => {
    const mark = marks.find(({ from, to }) => row.time >= from && row.time <= to);
    return { ...row, point: mark?.point ?? null, pass: mark?.pass ?? row.pass };
  }),
});

/** The visits of a run in their order, and how a window of each is looked for. */
export interface MarksWanted {
  readonly visits: readonly { readonly pass: Pass; readonly point: number; readonly temperature: number }[];
  /** How long a window is to be, s. */
  readonly length: number;
  /** How far from its point a window may be, K. */
  readonly within: number;
}

/** A window is kept while it moves no more than this many times the steadiest one of its stretch. */
const steadyEnough = 2;

interface Stretch {
  readonly first: number;
  readonly last: number;
}

/** The latest window of a stretch that is about as steady as any in it. */
const steadiest = (
  times: readonly number[],
  temperatures: readonly number[],
  { first, last }: Stretch,
  length: number,
): Stretch => {
  const windows: (Stretch & { readonly spread: number })[] = [];
  let from = first;
  for (let to = first; to <= last; to += 1) {
    while (from < to && times[to]! - times[from + 1]! >= length) from += 1;
    if (times[to]! - times[from]! < length) continue;
    const within = temperatures.slice(from, to + 1);
    windows.push({ first: from, last: to, spread: Math.max(...within) - Math.min(...within) });
  }
  const least = Math.min(...windows.map(({ spread }) => spread));
  return windows.findLast(({ spread }) => spread <= steadyEnough * least) ?? { first, last };
};

/**
 * Where in a record each point was probably measured: for each visit in turn the latest steady window near its temperature,
 * after the window before. `temperatures` are those of the reference, °C, in order of time. A visit that is not found is
 * left out: a person says where it was, or that it was not made.
 */
export const proposeMarks = (
  times: readonly number[],
  temperatures: readonly number[],
  { visits, length, within }: MarksWanted,
): PointMark[] => {
  const marks: PointMark[] = [];
  let start = 0;
  for (const { pass, point, temperature } of visits) {
    const near = (index: number) => Math.abs(temperatures[index]! - temperature) <= within;
    let at = start;
    let found: Stretch | null = null;
    while (at < times.length && found === null) {
      while (at < times.length && !near(at)) at += 1;
      const first = at;
      while (at < times.length && near(at)) at += 1;
      if (at > first && times[at - 1]! - times[first]! >= length) found = { first, last: at - 1 };
    }
    if (found === null) continue;
    const window = steadiest(times, temperatures, found, length);
    marks.push({ pass, point, from: times[window.first]!, to: times[window.last]! });
    start = window.last + 1;
  }
  return marks;
};
