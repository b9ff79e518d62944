import { calendarDay } from "#calibration";
import { daysInMonth, monthsAfter } from "./calendar.ts";
import { driftAt, expectedAfter, type Drift } from "./drift-at.ts";
import { shareOfLimit, wasFoundGood, type EarlierCalibration } from "./history.ts";
import { clopperPearson, scaledInterval, type Reliability } from "./reliability.ts";

export interface IntervalSettings {
  /** Share of calibrations at which an item should be found good. */
  readonly target?: number;
  /** The interval in use, months; the time between the last two calibrations where nothing is said. */
  readonly inUse?: number | undefined;
  /** By how much a good interval grows at a step of the staircase. */
  readonly step?: number;
  /** Never longer, months. */
  readonly longest?: number;
}

/** What one method says: so many months, or nothing, and why. */
export interface MethodAnswer {
  readonly method: "staircase" | "drift" | "reliability";
  readonly months: number | null;
  readonly reason: string;
}

export interface IntervalProposal {
  /** Whole months; null where there is too little to go by. */
  readonly months: number | null;
  /** Day on which it is due by that; null likewise. */
  readonly due: string | null;
  readonly inUse: number | null;
  readonly methods: readonly MethodAnswer[];
  readonly reliability: Reliability | null;
  readonly drifts: readonly Drift[];
  readonly reason: string;
}

/** Within this share of the tolerance an interval may grow (ILAC-G24/OIML D 10 of 2007, method 1, from memory). */
const comfortable = 0.8;
/** An interval is never more than doubled or less than halved at once (common practice). */
const [leastChange, mostChange] = [0.5, 2];

const months = (value: number): string => `${value < 10 ? value.toFixed(1) : value.toFixed(0)} months`;
const percent = (share: number): string => `${(share * 100).toFixed(0)} %`;

/** Rule I5. A failed calibration shortens by 1 − b = (1+a)^(−R/(1−R)), so that on the average the target is kept. */
const staircase = (last: EarlierCalibration, inUse: number, target: number, step: number): MethodAnswer => {
  const shares = last.points.map(shareOfLimit).filter((share) => share !== null);
  const method = "staircase";
  if (shares.length === 0) return { method, months: null, reason: "no tolerance to compare with" };
  const worst = Math.max(...shares);
  const seen = `the largest error as found was ${Number.isFinite(worst) ? percent(worst) : "beyond"} of its tolerance`;
  if (worst > 1) return { method, months: inUse * (1 + step) ** (-target / (1 - target)), reason: `${seen}: shorten` };
  if (worst > comfortable) return { method, months: inUse, reason: `${seen}: keep` };
  return { method, months: inUse * (1 + step), reason: `${seen}: lengthen by a step` };
};

/** First time, in years, at which the error to be expected may have reached a limit (rule I4). */
const reaches = (drift: Drift, limits: { readonly lower: number; readonly upper: number }, longest: number): number => {
  const inside = (years: number): boolean => {
    const { error, U } = expectedAfter(drift, years);
    return error + U <= limits.upper && error - U >= limits.lower;
  };
  if (!inside(0)) return 0;
  let [good, bad] = [0, longest];
  if (inside(longest)) return longest;
  for (let round = 0; round < 40; round += 1) {
    const middle = (good + bad) / 2;
    if (inside(middle)) good = middle;
    else bad = middle;
  }
  return good;
};

const byDrift = (last: EarlierCalibration, drifts: readonly Drift[], longest: number): MethodAnswer => {
  const method = "drift";
  const times = drifts.flatMap((drift) => {
    const limits = last.points.find(({ nominal }) => Math.abs(nominal - drift.nominal) <= 1)?.limits;
    return limits == null ? [] : [{ drift, years: reaches(drift, limits, longest / 12) }];
  });
  const [first] = times.toSorted((a, b) => a.years - b.years);
  if (first === undefined)
    return { method, months: null, reason: "a drift needs two calibrations at the same temperature, and a tolerance" };
  const { drift, years } = first;
  const said = `${drift.perYear.toPrecision(2)} K a year (± ${drift.U.toPrecision(2)}) at ${drift.nominal} °C from ${drift.calibrations} calibrations`;
  if (years === 0) return { method, months: 0, reason: `${said}: the error may be beyond its limit already` };
  return { method, months: years * 12, reason: `${said}: may reach its limit after ${months(years * 12)}` };
};

/** Rule I6: few sights move nothing; what they exclude does. */
const byReliability = (reliability: Reliability | null, inUse: number, target: number): MethodAnswer => {
  const method = "reliability";
  if (reliability === null) return { method, months: null, reason: "no calibration with a tolerance" };
  const { good, of, interval } = reliability;
  const said = `found good ${good} times of ${of}, so ${percent(interval[0])} to ${percent(interval[1])}`;
  if (interval[1] < target)
    return {
      method,
      months: scaledInterval(inUse, Math.max(interval[1], 1e-6), target),
      reason: `${said}: below the target of ${percent(target)}, shorten`,
    };
  if (interval[0] > target)
    return {
      method,
      months: scaledInterval(inUse, Math.min(interval[0], 1 - 1e-9), target),
      reason: `${said}: above the target of ${percent(target)}, lengthen`,
    };
  return { method, months: inUse, reason: `${said}: that says nothing against the target of ${percent(target)}, keep` };
};

const reliabilityOf = (calibrations: readonly EarlierCalibration[]): Reliability | null => {
  const verdicts = calibrations.map(wasFoundGood).filter((verdict) => verdict !== null);
  if (verdicts.length === 0) return null;
  const good = verdicts.filter(Boolean).length;
  return { good, of: verdicts.length, interval: clopperPearson(good, verdicts.length, 0.95) };
};

const nothing = (reason: string, reliability: Reliability | null, inUse: number | null): IntervalProposal => ({
  months: null,
  due: null,
  inUse,
  methods: [],
  reliability,
  drifts: [],
  reason,
});

/**
 * When an item should be calibrated next, by what it showed so far: the shortest that the methods of ILAC-G24:2022/OIML D 10 allow
 * (staircase, control chart of the drift, reliability), with the reason. It is for whoever sets the interval, and never goes on a
 * certificate by itself (ISO/IEC 17025:2017, 7.8.4.3). `calibrations` in the order of their days.
 */
export const proposeInterval = (
  calibrations: readonly EarlierCalibration[],
  { target = 0.9, inUse: agreed, step = 0.1, longest = 120 }: IntervalSettings = {},
): IntervalProposal => {
  const last = calibrations.at(-1);
  const before = calibrations.at(-2);
  const reliability = reliabilityOf(calibrations);
  if (last === undefined) return nothing("It has not been calibrated here yet.", null, agreed ?? null);
  const between = before === undefined ? 0 : (calendarDay(last.day) - calendarDay(before.day)) / daysInMonth;
  // A year has 11.99 mean months or 12.02: it is counted in whole ones.
  const inUse = agreed ?? (between > 0 ? Math.max(1, Math.round(between)) : null);
  if (inUse === null)
    return nothing(
      "It was calibrated here once: the first interval is chosen by the risk of a wrong reading, by use and by experience with its like.",
      reliability,
      null,
    );
  const temperatures = last.points.map(({ nominal }) => nominal);
  const drifts = temperatures.map((nominal) => driftAt(calibrations, nominal)).filter((drift) => drift !== null);
  const methods = [
    staircase(last, inUse, target, step),
    byDrift(last, drifts, longest),
    byReliability(reliability, inUse, target),
  ];
  const answers = methods.filter((answer): answer is MethodAnswer & { months: number } => answer.months !== null);
  const shortest = answers.toSorted((a, b) => a.months - b.months)[0];
  if (shortest === undefined)
    return { ...nothing("There is no tolerance to go by.", reliability, inUse), methods, drifts };
  const clipped = Math.min(longest, Math.max(leastChange * inUse, Math.min(mostChange * inUse, shortest.months)));
  // Downwards, so that rounding lengthens nothing; a millionth of a month is arithmetic.
  const whole = Math.max(1, Math.floor(clipped + 1e-6));
  const held =
    Math.abs(clipped - shortest.months) < 1e-9
      ? ""
      : `; not more than doubled, less than halved or beyond ${longest} months at once`;
  return {
    months: whole,
    due: monthsAfter(last.day, whole),
    inUse,
    methods,
    reliability,
    drifts,
    reason: `${shortest.reason} (${shortest.method})${held}`,
  };
};
