import { calendarDay } from "#calibration";
import { coverageFactor, usualLevel } from "#uncertainty";
import type { EarlierCalibration } from "./history.ts";

const daysInYear = 365.2425;
/** Two calibrations at temperatures no farther apart are of the same point, K. */
const sameTemperature = 1;

/** One calibration of a point: when, and the error as it would be had nothing ever been adjusted. */
interface Sight {
  /** Years since the first. */
  readonly years: number;
  readonly error: number;
  readonly u: number;
}

/** How an item's error moves at one temperature, and what it was left at. */
export interface Drift {
  readonly nominal: number;
  /** K a year. */
  readonly perYear: number;
  /** Expanded uncertainty of that, 95.45 %. */
  readonly U: number;
  readonly degreesOfFreedom: number;
  readonly calibrations: number;
  /** Error at the end of the last calibration, K, with its standard uncertainty. */
  readonly left: { readonly error: number; readonly u: number };
  readonly lastDay: string;
  /** Standard uncertainty of the drift, K a year. */
  readonly u: number;
  /** Standard deviation of the errors about the line, K; 0 where two points make the line. */
  readonly scatter: number;
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

interface Seen {
  readonly sights: readonly Sight[];
  readonly left: Drift["left"];
  readonly lastDay: string;
}

const seenAt = (calibrations: readonly EarlierCalibration[], nominal: number): Seen | null => {
  let adjusted = 0;
  let left: Drift["left"] | undefined;
  let lastDay = "";
  let first: number | undefined;
  const sights: Sight[] = [];
  for (const { day, points } of calibrations) {
    const point = points.find((each) => Math.abs(each.nominal - nominal) <= sameTemperature);
    if (point === undefined || point.asFound === null) continue;
    first ??= calendarDay(day);
    const { asFound, asLeft } = point;
    sights.push({ years: (calendarDay(day) - first) / daysInYear, error: asFound.error - adjusted, u: asFound.u });
    left = asLeft ?? asFound;
    if (asLeft !== null) adjusted += asLeft.error - asFound.error;
    lastDay = day;
  }
  return left === undefined ? null : { sights, left: { error: left.error, u: left.u }, lastDay };
};

/**
 * The drift of an item at one temperature by a straight line of least squares through its errors as found, what was adjusted
 * in between taken out (rules I2 and I3). Null where it was calibrated there less than twice, or twice on one day.
 */
export const driftAt = (calibrations: readonly EarlierCalibration[], nominal: number): Drift | null => {
  const seen = seenAt(calibrations, nominal);
  if (seen === null || seen.sights.length < 2) return null;
  const { sights, left, lastDay } = seen;
  const middle = mean(sights.map(({ years }) => years));
  const spread = sights.reduce((sum, { years }) => sum + (years - middle) ** 2, 0);
  if (spread === 0) return null;
  const level = mean(sights.map(({ error }) => error));
  const perYear = sights.reduce((sum, { years, error }) => sum + (years - middle) * (error - level), 0) / spread;
  const rest = sights.reduce((sum, { years, error }) => sum + (error - level - perYear * (years - middle)) ** 2, 0);
  const free = sights.length - 2;
  const scatter = free > 0 ? Math.sqrt(rest / free) : 0;
  // A few points may lie on a line by chance: they say no less than their own uncertainties allow.
  const own = Math.sqrt(mean(sights.map(({ u }) => u ** 2)));
  const s = Math.max(scatter, own);
  const degreesOfFreedom = scatter > own ? free : Number.POSITIVE_INFINITY;
  return {
    nominal,
    perYear,
    U: (coverageFactor(usualLevel, degreesOfFreedom) * s) / Math.sqrt(spread),
    degreesOfFreedom,
    calibrations: sights.length,
    left,
    lastDay,
    u: s / Math.sqrt(spread),
    scatter,
  };
};

/** The error to be expected so many years after the last calibration, with its expanded uncertainty of 95.45 %, K (rule I4). */
export const expectedAfter = (drift: Drift, years: number): { readonly error: number; readonly U: number } => {
  const { scatter, left } = drift;
  const u = Math.hypot(left.u, scatter, drift.u * years);
  return { error: left.error + drift.perYear * years, U: coverageFactor(usualLevel, drift.degreesOfFreedom) * u };
};
