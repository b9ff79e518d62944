import { normalQuantile, studentQuantile } from "#numerics";
import type { PlainRules, RuleFinding, RuleQuantity } from "./plain-rules.ts";

/** One of a few readings, each paired with the reference at its moment, °C and s. */
export interface FewReading {
  readonly time: number;
  readonly reference: number;
  readonly item: number;
}

export interface FewOptions {
  /** Largest change over the window that is let through, K. */
  readonly target: number;
  /** Smallest step that is read, K; 0 where it is far below the scatter. */
  readonly resolution: number;
}

/** What a few readings say of a difference: its mean, and how much of it may still be missing. */
export interface FewJudgement {
  readonly readings: number;
  readonly from: number;
  readonly to: number;
  /** Mean difference item − reference, K. */
  readonly estimate: number;
  /** Of the mean, K, with `readings` − 1 degrees of freedom. */
  readonly standardUncertainty: number;
  /** Expanded uncertainty of the mean, 95 %, Student's, the remainder included, K. */
  readonly U: number;
  /** Of the straight line through the differences, K/s. */
  readonly slope: number;
  readonly slopeStandardError: number;
  /** Bound on what may still be missing, one-sided 95 % of the change over the window, K. */
  readonly remainder: number;
  /**
   * ready: the change over the window is shown to be within the target. drifting: it is shown not to be nothing, and it is
   * no trifle. open: neither.
   */
  readonly verdict: "ready" | "drifting" | "open";
}

const confidence = 0.95;
/** A change of less than this share of the target is a trifle, even where it is shown. */
const trifle = 0.5;

/** A digit hides a scatter of its own: digit/√12 of one reading (JCGM 100:2008, F.2.2.1). */
const hiddenBy = (resolution: number): number => resolution / Math.sqrt(12);

/**
 * Judges a few readings, minutes apart and taken as independent: a straight line by least squares, and an equivalence test
 * of the change over the window against the target (one-sided Student's t with n − 2 degrees of freedom; two one-sided tests,
 * D. J. Schuirmann, 1987, from memory). What a tail as slow as the window still lacks is the change over the window. Fewer
 * than three readings say nothing about a change: null. Times rise.
 */
export const judgeFew = (readings: readonly FewReading[], { target, resolution }: FewOptions): FewJudgement | null => {
  const count = readings.length;
  if (count < 3) return null;
  const [from, to] = [readings[0]!.time, readings[count - 1]!.time];
  const differences = readings.map(({ item, reference }) => item - reference);
  const estimate = differences.reduce((sum, value) => sum + value, 0) / count;
  const middle = readings.reduce((sum, { time }) => sum + time, 0) / count;
  const squares = readings.reduce((sum, { time }) => sum + (time - middle) ** 2, 0);
  if (!(squares > 0)) return null;
  const slope =
    readings.reduce((sum, { time }, i) => sum + (time - middle) * (differences[i]! - estimate), 0) / squares;
  const rest = readings.reduce(
    (sum, { time }, i) => sum + (differences[i]! - estimate - slope * (time - middle)) ** 2,
    0,
  );
  const scatter = Math.sqrt(rest / (count - 2));
  const slopeStandardError = scatter / Math.sqrt(squares);
  const hidden = hiddenBy(resolution) / Math.sqrt(squares);
  const doubt = (share: number): number =>
    Math.max(studentQuantile(share, count - 2) * slopeStandardError, normalQuantile(share) * hidden);
  const length = to - from;
  const change = Math.abs(slope) * length;
  const remainder = change + doubt(confidence) * length;
  const shown = Math.abs(slope) > doubt(1 - (1 - confidence) / 2);
  const verdict = remainder <= target ? "ready" : shown && change > trifle * target ? "drifting" : "open";
  const spread = Math.sqrt(differences.reduce((sum, value) => sum + (value - estimate) ** 2, 0) / (count - 1));
  const standardUncertainty = Math.max(spread / Math.sqrt(count), hiddenBy(resolution));
  const U = Math.hypot(studentQuantile(1 - (1 - confidence) / 2, count - 1) * standardUncertainty, remainder);
  return { readings: count, from, to, estimate, standardUncertainty, U, slope, slopeStandardError, remainder, verdict };
};

const valueOf = (on: RuleQuantity, { reference, item }: FewReading): number | null =>
  on === "reference" ? reference : on === "item" ? item : on === "difference" ? item - reference : null;

const slopePerMinute = (times: readonly number[], values: readonly number[]): number => {
  const mean = (list: readonly number[]): number => list.reduce((sum, value) => sum + value, 0) / list.length;
  const [middle, level] = [mean(times), mean(values)];
  const squares = times.reduce((sum, time) => sum + (time - middle) ** 2, 0);
  const cross = times.reduce((sum, time, i) => sum + (time - middle) * (values[i]! - level), 0);
  return squares > 0 ? (60 * cross) / squares : 0;
};

/**
 * How the rules of a written procedure stand on a few readings (rule S15): a limit needs readings that reach back over its whole
 * window, three at least. `reachedSince`: since when the reference has been near the set point, s; null where it is not.
 */
export const findRulesOfFew = (
  readings: readonly FewReading[],
  rules: PlainRules,
  reachedSince: number | null,
  now: number,
): readonly RuleFinding[] => {
  const findings: RuleFinding[] = [];
  if (rules.soak !== undefined) {
    const value = reachedSince === null ? null : now - reachedSince;
    const holds = value !== null && value >= rules.soak - 1e-9;
    findings.push({ rule: "soak", on: "reference", window: rules.soak, value, limit: rules.soak, holds });
  }
  for (const { on, window, spread, slope } of rules.limits) {
    // The reading before the window's beginning counts, too: a window is never shorter than it says.
    const begins = readings.findLastIndex(({ time }) => time <= now - window + 1e-9);
    const inside = begins < 0 ? [] : readings.slice(begins);
    const values = inside.flatMap((reading) => valueOf(on, reading) ?? []);
    const full = values.length === inside.length && values.length >= 3;
    const add = (rule: "spread" | "slope", limit: number, found: () => number): void => {
      const value = full ? found() : null;
      findings.push({ rule, on, window, value, limit, holds: value !== null && value <= limit });
    };
    if (spread !== undefined) add("spread", spread, () => Math.max(...values) - Math.min(...values));
    if (slope !== undefined)
      add("slope", slope, () =>
        Math.abs(
          slopePerMinute(
            inside.map(({ time }) => time),
            values,
          ),
        ),
      );
  }
  return findings;
};

/**
 * Where the next reading lies, if it is one like those before: their mean, and half the width of a two-sided prediction interval
 * (Student's with n − 1 degrees of freedom, s·√(1 + 1/n); textbook statistics). Two values at least; fewer are of no use: null.
 */
export const predictNext = (
  values: readonly number[],
  share: number,
): { readonly middle: number; readonly within: number } | null => {
  const count = values.length;
  if (count < 2) return null;
  const middle = values.reduce((sum, value) => sum + value, 0) / count;
  const scatter = Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (count - 1));
  return { middle, within: studentQuantile(1 - (1 - share) / 2, count - 1) * scatter * Math.sqrt(1 + 1 / count) };
};
