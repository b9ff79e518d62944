/** A check as it goes into the chart. */
export interface ChartValue {
  readonly at: string;
  /** Shift against the kit entry's value, at the point, K. */
  readonly value: number;
  readonly u: number;
}

/** Pattern rules that a chart is searched for, by their name. */
export const chartSignals = [
  "beyond-action",
  "beyond-warning",
  "two-of-three-beyond-warning",
  "four-of-five-beyond-one-s",
  "eight-on-one-side",
  "six-in-a-row",
  "moving-range",
] as const;
export type ChartSignal = (typeof chartSignals)[number];

export interface ChartPoint extends ChartValue {
  /** Size of the step from the check before; null for the first. */
  readonly movingRange: number | null;
  readonly signals: readonly ChartSignal[];
}

/** Limits from history, K. */
export interface ChartLimits {
  readonly centre: number;
  /** Standard deviation of one check, from the moving range. */
  readonly s: number;
  readonly warning: readonly [number, number];
  readonly action: readonly [number, number];
  readonly movingRange: { readonly mean: number; readonly limit: number };
  /** Checks that the limits come from: the first ones. */
  readonly from: number;
}

export interface ControlChart {
  readonly points: readonly ChartPoint[];
  /** Null while there are too few checks: then only the budget's own limit holds. */
  readonly limits: ChartLimits | null;
}

/** Mean range of two independent normal values in standard deviations, and the factor of its upper limit (ISO 7870-2). */
const d2 = 1.128;
const D4 = 3.267;

/** Fewest checks from which limits are made, and most that they are made from (*ours*; more are better). */
export const fewestForLimits = 8;
const mostForLimits = 20;

const movingRanges = (values: readonly number[]): number[] =>
  values.slice(1).map((value, index) => Math.abs(value - values[index]!));

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Limits of an individuals chart with moving range: x̄ ± 2s and ± 3s, s = mean moving range/1.128 (rule K20). */
export const chartLimits = (values: readonly number[]): ChartLimits | null => {
  const base = values.slice(0, mostForLimits);
  if (base.length < fewestForLimits) return null;
  const centre = meanOf(base);
  const mean = meanOf(movingRanges(base));
  const s = mean / d2;
  return {
    centre,
    s,
    warning: [centre - 2 * s, centre + 2 * s],
    action: [centre - 3 * s, centre + 3 * s],
    movingRange: { mean, limit: D4 * mean },
    from: base.length,
  };
};

/** How many of the last `among` values lie beyond `s` standard deviations on the same side as the latest. */
const sameSideBeyond = (z: readonly number[], among: number, s: number): number => {
  const side = Math.sign(z.at(-1)!);
  return z.slice(-among).filter((value) => value * side > s).length;
};

const rising = (values: readonly number[]): boolean =>
  values.every((value, index) => index === 0 || value > values[index - 1]!);

/**
 * Signals of the latest of some values in standard deviations from the centre (rule K21): beyond 3; two of three beyond 2 on one
 * side; four of five beyond 1; eight on one side; six that rise or fall in a row (the pattern tests of ISO 7870-2 and of the
 * Western Electric handbook, from memory). Beyond 2 alone is a warning.
 */
export const signalsOf = (z: readonly number[]): ChartSignal[] => {
  const latest = Math.abs(z.at(-1)!);
  const last6 = z.slice(-6);
  const found: readonly (readonly [ChartSignal, boolean])[] = [
    ["beyond-action", latest > 3],
    ["beyond-warning", latest > 2 && latest <= 3],
    ["two-of-three-beyond-warning", latest > 2 && sameSideBeyond(z, 3, 2) >= 2],
    ["four-of-five-beyond-one-s", latest > 1 && sameSideBeyond(z, 5, 1) >= 4],
    ["eight-on-one-side", latest > 0 && z.length >= 8 && sameSideBeyond(z, 8, 0) === 8],
    ["six-in-a-row", last6.length === 6 && (rising(last6) || rising(last6.toReversed()))],
  ];
  return found.flatMap(([signal, is]) => (is ? [signal] : []));
};

/**
 * The chart of checks in the order in which they were made. `limits`: those of history, from the checks before the latest; the
 * latest is judged by them and has no part in them.
 */
export const controlChart = (values: readonly ChartValue[]): ControlChart => {
  const limits = chartLimits(values.slice(0, -1).map(({ value }) => value));
  const z = limits === null || limits.s === 0 ? null : values.map(({ value }) => (value - limits.centre) / limits.s);
  const points = values.map((value, index) => {
    const movingRange = index === 0 ? null : Math.abs(value.value - values[index - 1]!.value);
    const signals = z === null ? [] : signalsOf(z.slice(0, index + 1));
    const far = limits !== null && movingRange !== null && movingRange > limits.movingRange.limit;
    return { ...value, movingRange, signals: far ? [...signals, "moving-range" as const] : signals };
  });
  return { points, limits };
};
