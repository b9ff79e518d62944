import type { Approach, SettlingView } from "#contract";

/** Where on the run's clock the picture stands. */
export interface Moment {
  /** UTC of the run's clock at 0. */
  readonly opened: string;
  /** When the set point was commanded, s. */
  readonly started: number;
  /** Now, s. */
  readonly at: number;
}

export interface FunnelSeries {
  readonly times: readonly number[];
  readonly difference: readonly (number | null)[];
  readonly estimate: readonly (number | null)[];
  readonly bound: readonly (number | null)[];
}

export interface FunnelScales {
  readonly x: (seconds: number) => number;
  readonly y: (kelvin: number) => number;
  readonly from: number;
  readonly to: number;
  readonly centre: number;
  readonly reach: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Lengths of the time axis, in minutes: it grows by whole steps, so that the picture does not creep. */
const lengths = [5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 360, 480, 720];

export const seriesOf = (approach: Approach | null, item: string): FunnelSeries => {
  const found = approach?.items.find((entry) => entry.item === item);
  if (approach === null || found === undefined) return { times: [], difference: [], estimate: [], bound: [] };
  return { times: approach.times, difference: found.difference, estimate: found.estimate, bound: found.bound };
};

/** The series with the newest judgement at its end: the picture comes less often than the view, and must not lag behind it. */
export const withNow = (
  series: FunnelSeries,
  at: number,
  difference: number | null,
  settling: SettlingView | undefined,
): FunnelSeries => {
  const last = series.times.at(-1);
  if (settling === undefined || last === undefined || at <= last) return series;
  return {
    times: [...series.times, at],
    difference: [...series.difference, difference],
    estimate: [...series.estimate, settling.estimate],
    bound: [...series.bound, settling.bound],
  };
};

const margin = { left: 78, right: 14, top: 26, bottom: 40 };

/**
 * The scales of the picture. Upright it is an inverse hyperbolic sine around the present estimate: linear inside the
 * allowed band and logarithmic outside, so that kelvins at the beginning and millikelvins at the end are both seen, and
 * an exponential approach narrows along straight lines that the eye can follow into the band.
 */
export const scalesOf = (
  size: { readonly width: number; readonly height: number },
  moment: Moment,
  settling: SettlingView,
  series: FunnelSeries,
): FunnelScales => {
  const from = moment.started;
  const last = Math.max(moment.at, settling.forecast?.to ?? 0) - from;
  const minutes = lengths.find((length) => length * 60 >= last * 1.04) ?? last / 55;
  const to = from + minutes * 60;
  const centre = settling.estimate ?? series.estimate.findLast((value) => value !== null) ?? 0;
  const linear = settling.target / 1.5;
  // A bound beyond two hundred times the target only says "not yet"; it may run out of the picture.
  const farthest = series.times.reduce((most, _, index) => {
    const difference = series.difference[index];
    const estimate = series.estimate[index];
    const bound = series.bound[index];
    const away = difference === null || difference === undefined ? 0 : Math.abs(difference - centre);
    const edge =
      estimate === null || estimate === undefined || bound === null || bound === undefined
        ? 0
        : Math.abs(estimate - centre) + bound;
    return Math.max(most, away, Math.min(edge, settling.target * 200));
  }, settling.target * 4);
  // A step of one, two or five keeps the upright scale at rest too.
  const power = 10 ** Math.floor(Math.log10(farthest));
  const reach = [1, 2, 5, 10].map((step) => step * power).find((step) => step >= farthest) ?? farthest;
  const left = margin.left;
  const right = size.width - margin.right;
  const top = margin.top;
  const bottom = size.height - margin.bottom;
  const middle = (top + bottom) / 2;
  const half = (bottom - top) / 2;
  const whole = Math.asinh(reach / linear);
  return {
    x: (seconds) => left + ((seconds - from) / (to - from)) * (right - left),
    y: (kelvin) => middle - Math.max(-1, Math.min(1, Math.asinh((kelvin - centre) / linear) / whole)) * half,
    from,
    to,
    centre,
    reach,
    left,
    right,
    top,
    bottom,
  };
};

const pair = (x: number, y: number): string => `${x.toFixed(1)} ${y.toFixed(1)}`;

/** A line through what is there; a gap where a value is missing. */
export const linePath = (
  times: readonly number[],
  values: readonly (number | null)[],
  scales: FunnelScales,
): string => {
  let open = false;
  return times
    .map((time, index) => {
      const value = values[index];
      if (value === null || value === undefined) {
        open = false;
        return "";
      }
      const step = `${open ? "L" : "M"}${pair(scales.x(time), scales.y(value))}`;
      open = true;
      return step;
    })
    .join("");
};

/** The band estimate ± bound as one closed shape. */
export const bandPath = (series: FunnelSeries, scales: FunnelScales): string => {
  const rows = series.times.flatMap((time, index) => {
    const estimate = series.estimate[index];
    const bound = series.bound[index];
    return estimate === null || estimate === undefined || bound === null || bound === undefined
      ? []
      : [{ time, low: estimate - bound, high: estimate + bound }];
  });
  if (rows.length < 2) return "";
  const there = rows.map(({ time, high }) => pair(scales.x(time), scales.y(high)));
  const back = rows.toReversed().map(({ time, low }) => pair(scales.x(time), scales.y(low)));
  return `M${[...there, ...back].join("L")}Z`;
};

/** From now to the forecast moment, and on inside the allowed band to the end of the picture. */
export const conePath = (moment: Moment, settling: SettlingView, scales: FunnelScales, side: 1 | -1 | 0): string => {
  const { bound, target, forecast } = settling;
  if (bound === null || forecast === null || settling.ready) return "";
  const begin = scales.x(moment.at);
  const ready = Math.max(begin, scales.x(forecast.at));
  const edge = (sign: 1 | -1): string[] => [
    pair(begin, scales.y(scales.centre + sign * Math.max(bound, target))),
    pair(ready, scales.y(scales.centre + sign * target)),
  ];
  if (side !== 0) return `M${edge(side).join("L")}`;
  return `M${[...edge(1), ...edge(-1).toReversed()].join("L")}Z`;
};

/** Whole minutes for the time axis, at most about eight of them. */
export const minuteTicks = (scales: FunnelScales): number[] => {
  const minutes = (scales.to - scales.from) / 60;
  const step = [1, 2, 5, 10, 15, 30, 60, 120].find((size) => minutes / size <= 8) ?? 120;
  return Array.from({ length: Math.floor(minutes / step) + 1 }, (_, index) => index * step);
};

/** Kelvins away from the estimate: the allowed band, then powers of ten beyond it. */
export const kelvinTicks = (scales: FunnelScales, target: number): number[] => {
  const ticks: number[] = [0];
  for (let size = 10 ** Math.ceil(Math.log10(target * 2.2)); size <= scales.reach * 1.0001; size *= 10)
    ticks.push(size, -size);
  return ticks;
};

/** When the bound last came inside the allowed band and stayed there, by what is drawn. */
export const readySince = (series: FunnelSeries, target: number): number | null => {
  const index = series.bound.findLastIndex((bound) => bound === null || bound > target);
  return series.times[index + 1] ?? null;
};
