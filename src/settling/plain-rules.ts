import { blockLength } from "./lengths.ts";

/** What a plain rule may look at. */
export const ruleQuantities = ["reference", "item", "source", "difference"] as const;
export type RuleQuantity = (typeof ruleQuantities)[number];

/** A limit of a written procedure: over the last `window` seconds the quantity has stayed within it. */
export interface RuleLimit {
  readonly on: RuleQuantity;
  /** s */
  readonly window: number;
  /** Largest less smallest reading, K. */
  readonly spread?: number | undefined;
  /** Slope of the straight line through the readings, either way, K/min. */
  readonly slope?: number | undefined;
}

/** The rules of a written procedure; all of them must hold at once. */
export interface PlainRules {
  /** Time since the set point was reached for good, s. */
  readonly soak?: number | undefined;
  /** How near to the set point the reference counts as having reached it, K. */
  readonly reachedWithin: number;
  readonly limits: readonly RuleLimit[];
}

/** One rule as it stood at a moment: what it asks, and what was found. */
export interface RuleFinding {
  readonly rule: "soak" | "spread" | "slope";
  readonly on: RuleQuantity;
  /** s; of a soak the time that it asks for. */
  readonly window: number;
  /** In the unit of the limit (s, K, K/min); null where there is less than the window. */
  readonly value: number | null;
  readonly limit: number;
  readonly holds: boolean;
}

/** Extremes and mean of some seconds of one quantity. */
interface RuleBlock {
  readonly begun: number;
  readonly time: number;
  readonly mean: number;
  readonly least: number;
  readonly most: number;
  readonly count: number;
}

/** What is kept for the rules of one approach: bounded, plain data. */
export interface RuleWatch {
  /** Since when the reference has been near the set point without leaving it, s. */
  readonly reachedSince: number | null;
  /** Latest moment that was read, s. */
  readonly now: number | null;
  readonly series: Readonly<Partial<Record<RuleQuantity, readonly RuleBlock[]>>>;
}

export const emptyWatch: RuleWatch = { reachedSince: null, now: null, series: {} };

/** A longer silence breaks a window, s. */
const longestSilence = 60;

const extend = (
  blocks: readonly RuleBlock[] | undefined,
  time: number,
  value: number,
  longest: number,
): readonly RuleBlock[] => {
  const open = blocks?.at(-1);
  const fresh: RuleBlock = { begun: time, time, mean: value, least: value, most: value, count: 1 };
  if (blocks === undefined || open === undefined || time - open.time > longestSilence + blockLength) return [fresh];
  if (time < open.begun) return blocks;
  if (time - open.begun >= blockLength - 1e-9) {
    const past = blocks.filter(({ begun }) => begun >= time - longest - 2 * blockLength);
    return [...past, fresh];
  }
  const count = open.count + 1;
  return [
    ...blocks.slice(0, -1),
    {
      begun: open.begun,
      time: open.time + (time - open.time) / count,
      mean: open.mean + (value - open.mean) / count,
      least: Math.min(open.least, value),
      most: Math.max(open.most, value),
      count,
    },
  ];
};

/** Takes values of one moment into account: those quantities that were read then. */
export const watchRules = (
  watch: RuleWatch,
  rules: PlainRules,
  { time, ...values }: { readonly time: number } & Partial<Record<RuleQuantity, number>>,
  setPoint: number | undefined,
): RuleWatch => {
  const series = { ...watch.series };
  for (const quantity of ruleQuantities) {
    const value = values[quantity];
    const wanted = rules.limits.filter(({ on }) => on === quantity).map(({ window }) => window);
    if (value === undefined || !Number.isFinite(value) || wanted.length === 0) continue;
    series[quantity] = extend(series[quantity], time, value, Math.max(...wanted));
  }
  const { reference } = values;
  let { reachedSince } = watch;
  if (reference !== undefined && setPoint !== undefined) {
    const near = Math.abs(reference - setPoint) <= rules.reachedWithin;
    reachedSince = near ? (reachedSince ?? time) : null;
  }
  return { series, reachedSince, now: Math.max(watch.now ?? time, time) };
};

const slopePerMinute = (blocks: readonly RuleBlock[]): number => {
  const whole = blocks.reduce((sum, { count }) => sum + count, 0);
  const middle = blocks.reduce((sum, { count, time }) => sum + count * time, 0) / whole;
  let cross = 0;
  let squares = 0;
  for (const { count, time, mean } of blocks) {
    cross += count * (time - middle) * mean;
    squares += count * (time - middle) ** 2;
  }
  return squares > 0 ? (60 * cross) / squares : 0;
};

/** How each rule stands at the latest moment that was read. */
export const findRules = (watch: RuleWatch, rules: PlainRules): readonly RuleFinding[] => {
  const { now, reachedSince, series } = watch;
  const findings: RuleFinding[] = [];
  if (rules.soak !== undefined) {
    const value = reachedSince === null || now === null ? null : now - reachedSince;
    const holds = value !== null && value >= rules.soak - 1e-9;
    findings.push({ rule: "soak", on: "reference", window: rules.soak, value, limit: rules.soak, holds });
  }
  for (const { on, window, spread, slope } of rules.limits) {
    const blocks = series[on] ?? [];
    const full = now !== null && blocks.length > 1 && now - blocks[0]!.begun >= window - 1e-9;
    // The block in which the window begins counts whole: a window is never shorter than it says.
    const from = blocks.findLastIndex(({ begun }) => begun <= (now ?? 0) - window + 1e-9);
    const inside = full ? blocks.slice(Math.max(0, from)) : [];
    const add = (rule: "spread" | "slope", limit: number, value: number | null): void =>
      void findings.push({ rule, on, window, value, limit, holds: value !== null && value <= limit });
    if (spread !== undefined) {
      const [least, most] = [Math.min(...inside.map((b) => b.least)), Math.max(...inside.map((b) => b.most))];
      add("spread", spread, full ? most - least : null);
    }
    if (slope !== undefined) add("slope", slope, full ? Math.abs(slopePerMinute(inside)) : null);
  }
  return findings;
};
