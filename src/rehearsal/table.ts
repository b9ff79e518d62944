import { soakMinutes } from "./approach-truth.ts";
import type { MadeForecast, PointOutcome, RunOutcome } from "./outcome.ts";
import { medianOf, quantileOf, shareOf } from "./statistics.ts";

/** Median and 90th percentile; null where there is nothing to count. */
export interface Spread {
  readonly median: number | null;
  readonly p90: number | null;
}

export interface ForecastFigures {
  /** Share of the points in which there was a forecast at that moment. */
  readonly made: number | null;
  /** Error of the forecast moment of readiness, as a share of the whole wait, and of the time that was really left. */
  readonly ofWait: Spread;
  readonly ofLeft: Spread;
  /** Share in which the moment of readiness lay in the forecast interval. */
  readonly held: number | null;
}

/** Figures of some points. Shares from 0 to 1, times as medians, temperatures in K; null where nothing can be counted. */
export interface Figures {
  readonly points: number;
  /** True error inside the stated error ± U. */
  readonly coverage: number | null;
  /** Standard error of that share; points of one run go together, since they share the hidden errors of the kit. */
  readonly coverageStandardError: number | null;
  /** Reported mean further than the target from what it would be with nothing missing. */
  readonly beyondTarget: number | null;
  /** From the set-point change to the decision, minutes; and to the end of the readings. */
  readonly minutes: Spread;
  readonly wholeMinutes: Spread;
  readonly oracleMinutes: Spread;
  /** Wait over the oracle's: median, and 90th percentile. */
  readonly timeToOracle: number | null;
  readonly timeToOracle90: number | null;
  /** The same over the oracle's that knows the future too. */
  readonly timeToForesight: number | null;
  /** Wait over the wait of a fixed soak that begins when the source's own display has arrived. */
  readonly timeToSoak10: number | null;
  readonly timeToSoak20: number | null;
  readonly timeToSoak30: number | null;
  /** Share of points further than the target from rest after such a soak. */
  readonly soaksBeyondTarget: Readonly<Record<string, number | null>>;
  /**
   * Median stated U; 95 % quantile of |error − true error|; and by what factor U is larger than it would have to be to cover
   * 95 %: one over the 95 % quantile of |error − true error|/U, so that points with a large and a small U count alike.
   */
  readonly statedU: number | null;
  readonly error95: number | null;
  readonly uToError: number | null;
  /** The settling decision's own statement: covered, median bound, 95 % quantile of what it was off by. */
  readonly settling: {
    readonly covered: number | null;
    readonly bound: number | null;
    readonly error95: number | null;
  };
  /** Accepted though the true error is beyond the tolerance; rejected though it is within. Shares of all points with a tolerance. */
  readonly falseAccept: number | null;
  readonly falseReject: number | null;
  /** Share of points whose true error is beyond the tolerance, and share that was accepted. */
  readonly outOfTolerance: number | null;
  readonly accepted: number | null;
  readonly tailSuspected: number | null;
  readonly forecast: {
    readonly wait30: ForecastFigures;
    readonly wait70: ForecastFigures;
    readonly ramp30: ForecastFigures;
  };
}

export interface CellTable extends Figures {
  readonly cell: string;
  readonly source: string;
  readonly item: string;
  readonly stress: string | null;
  /** Points that were asked for and not measured, and runs that could not be conducted. */
  readonly missed: number;
  readonly failedRuns: number;
  readonly reasons: readonly { readonly reason: string; readonly count: number }[];
  readonly setPoints: readonly (Figures & { readonly setPoint: number })[];
}

const spread = (values: readonly number[]): Spread => ({
  median: medianOf(values),
  p90: quantileOf(values, 0.9),
});

const forecastFigures = (points: readonly PointOutcome[], which: keyof PointOutcome["forecasts"]): ForecastFigures => {
  const made = points.flatMap((point) => {
    const forecast: MadeForecast | null = point.forecasts[which];
    if (forecast === null) return [];
    const ready = point.commanded + point.wait;
    const off = Math.abs(forecast.at - ready);
    const held = forecast.from <= ready && ready <= forecast.to;
    return [{ ofWait: off / point.wait, ofLeft: off / Math.max(1, ready - forecast.made), held }];
  });
  return {
    made: shareOf(made.length, points.length),
    ofWait: spread(made.map(({ ofWait }) => ofWait)),
    ofLeft: spread(made.map(({ ofLeft }) => ofLeft)),
    held: shareOf(made.filter(({ held }) => held).length, made.length),
  };
};

const soakRatio = (points: readonly PointOutcome[], minutes: number): number | null =>
  medianOf(points.flatMap(({ wait, soaks }) => (soaks[minutes] === undefined ? [] : [wait / soaks[minutes].wait])));

const conformityFigures = (
  points: readonly PointOutcome[],
): Pick<Figures, "falseAccept" | "falseReject" | "outOfTolerance" | "accepted"> => {
  const judged = points.flatMap(({ tolerance, truth, decision }) =>
    tolerance === null || decision === null
      ? []
      : [
          {
            within: truth >= tolerance.lower && truth <= tolerance.upper,
            accepted: decision === "pass" || decision === "conditional-pass",
            rejected: decision === "fail" || decision === "conditional-fail",
          },
        ],
  );
  const share = (of: (each: (typeof judged)[number]) => boolean) => shareOf(judged.filter(of).length, judged.length);
  return {
    falseAccept: share(({ accepted, within }) => accepted && !within),
    falseReject: share(({ rejected, within }) => rejected && within),
    outOfTolerance: share(({ within }) => !within),
    accepted: share(({ accepted }) => accepted),
  };
};

/** Standard error of a share of points that come in runs: each run counts as one draw. */
const clusteredError = (points: readonly PointOutcome[], holds: (point: PointOutcome) => boolean): number | null => {
  const share = shareOf(points.filter(holds).length, points.length);
  if (share === null) return null;
  const bySeed = Map.groupBy(points, ({ seed }) => seed);
  let squares = 0;
  for (const some of bySeed.values())
    squares += some.reduce((sum, each) => sum + (holds(each) ? 1 : 0) - share, 0) ** 2;
  return Math.sqrt(squares) / points.length;
};

const isCovered = ({ error, truth, U }: PointOutcome): boolean => Math.abs(error - truth) <= U;

/** Counts points. Nothing is left out: a point that never came to rest for the oracle counts in everything but its ratios. */
export const figuresOf = (points: readonly PointOutcome[]): Figures => {
  const share = (of: (point: PointOutcome) => boolean) => shareOf(points.filter(of).length, points.length);
  const overOracle = points.flatMap(({ wait, oracle }) => (oracle === null ? [] : [wait / oracle]));
  const error95 = quantileOf(
    points.map(({ error, truth }) => Math.abs(error - truth)),
    0.95,
  );
  const normalised = quantileOf(
    points.map(({ error, truth, U }) => Math.abs(error - truth) / U),
    0.95,
  );
  return {
    points: points.length,
    coverage: share(isCovered),
    coverageStandardError: clusteredError(points, isCovered),
    beyondTarget: share(({ error, steady, target }) => !(Math.abs(error - steady) <= target)),
    minutes: spread(points.map(({ wait }) => wait / 60)),
    wholeMinutes: spread(points.map(({ whole }) => whole / 60)),
    oracleMinutes: spread(points.flatMap(({ oracle }) => (oracle === null ? [] : [oracle / 60]))),
    timeToOracle: medianOf(overOracle),
    timeToOracle90: quantileOf(overOracle, 0.9),
    timeToForesight: medianOf(points.flatMap(({ wait, foresight }) => (foresight === null ? [] : [wait / foresight]))),
    timeToSoak10: soakRatio(points, 10),
    timeToSoak20: soakRatio(points, 20),
    timeToSoak30: soakRatio(points, 30),
    soaksBeyondTarget: Object.fromEntries(
      soakMinutes.map((minutes) => {
        const soaked = points.filter(({ soaks }) => soaks[minutes] !== undefined);
        const beyond = soaked.filter(({ soaks, target }) => !(Math.abs(soaks[minutes]!.missing) <= target));
        return [String(minutes), shareOf(beyond.length, soaked.length)];
      }),
    ),
    statedU: medianOf(points.map(({ U }) => U)),
    error95,
    uToError: normalised === null || normalised === 0 ? null : 1 / normalised,
    settling: {
      covered: share(({ estimate, steady, bound }) => Math.abs(estimate - steady) <= bound),
      bound: medianOf(points.map(({ bound }) => bound)),
      error95: quantileOf(
        points.map(({ estimate, steady }) => Math.abs(estimate - steady)),
        0.95,
      ),
    },
    ...conformityFigures(points),
    tailSuspected: share(({ tailSuspected }) => tailSuspected),
    forecast: {
      wait30: forecastFigures(points, "wait30"),
      wait70: forecastFigures(points, "wait70"),
      ramp30: forecastFigures(points, "ramp30"),
    },
  };
};

/** What some runs of one item came to: pooled, and by set point. */
export const cellTable = (
  about: Pick<CellTable, "cell" | "source" | "item" | "stress">,
  points: readonly PointOutcome[],
  runs: readonly RunOutcome[],
  itemId: string,
): CellTable => {
  const missed = runs.flatMap((run) => run.missed.filter(({ item }) => item === itemId));
  const failed = runs.flatMap(({ fault }) => (fault === null ? [] : [fault]));
  const reasons = [...missed.map(({ reason }) => reason), ...failed.map(({ code, message }) => `${code}: ${message}`)];
  const counted = [...Map.groupBy(reasons, (reason) => reason)]
    .map(([reason, some]) => ({ reason, count: some.length }))
    .toSorted((a, b) => b.count - a.count);
  const bySetPoint = [...Map.groupBy(points, ({ setPoint }) => setPoint)].toSorted(([a], [b]) => a - b);
  return {
    ...about,
    ...figuresOf(points),
    missed: missed.length,
    failedRuns: failed.length,
    reasons: counted.slice(0, 5),
    setPoints: bySetPoint.map(([setPoint, some]) => ({ setPoint, ...figuresOf(some) })),
  };
};
