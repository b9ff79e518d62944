import type { Block } from "./block.ts";
import { longestLag } from "./longest-lag.ts";
import { blockLength, slopeMargin, swingLeft } from "./lengths.ts";
import type { SettlingOptions } from "./options.ts";
import { stateDoubt } from "./stated-doubt.ts";
import type { SlowTail } from "./slow-tail.ts";
import type { Travel } from "./travel.ts";
import { trendOf, type Trend } from "./trend.ts";

export const obstacles = ["lag", "creep", "noise", "resolution", "window", "rule"] as const;
export type Obstacle = (typeof obstacles)[number];

/** What one look at the approach says. */
export interface Judgement {
  readonly at: number;
  /** Steady difference indication − reference, K. */
  readonly estimate: number;
  /** Bound on what is still missing of it, about 95 %, K. */
  readonly remainder: number;
  /** Of the estimate, autocorrelation and resolution accounted for, K. */
  readonly standardUncertainty: number;
  readonly slope: number;
  readonly slopeStandardError: number;
  readonly autocorrelation: number;
  readonly window: { readonly from: number; readonly to: number };
  /** Expanded uncertainty with the remainder included, K: what must come below the target. */
  readonly bound: number;
  /** Expanded uncertainty of the estimate, 95 %, K. */
  readonly U: number;
  /** 1 or less when every condition holds; how many times too large the worst one is otherwise. */
  readonly ratio: number;
  /** A tail slower than the horizon, where the readings leave no doubt about one: to be said to the person at the bench. */
  readonly slowTail: SlowTail | null;
  /** What is in the way, largest first; shares add up to 1. */
  readonly inTheWay: readonly { readonly term: Obstacle; readonly share: number }[];
}

/** One-sided 95 % with the few degrees of freedom of a short window in mind. */
const slopeCoverage = 1.75;

/**
 * A creep of source or insulation too slow to show in any window that people wait for, as a share of the target; without
 * it the bound of the slowest furnaces held in 89 % of points, with it in 98 %.
 */
const unseenCreep = 0.2;

/** Part of the horizon for which a slope that is seen is carried on in the estimate: what dies down fast is gone sooner. */
const carriedShare = 1 / 6;

/** Quantisation left in a mean, in units of one digit: of a display that stands still, and of one that noise moves. */
const stuckDisplay = 0.48;
const movingDisplay = 0.12;

/** Scatter within blocks, in digits, from which noise moves the display. */
const scatterThatMoves = 0.3;

/** What is known of an approach up to now. */
export interface Approach {
  readonly blocks: readonly Block[];
  /** Means of whole minutes, over a longer past. */
  readonly minutes: readonly Block[];
  readonly travel: Travel | null;
}

interface Quantisation {
  /** Left in the mean, K. */
  readonly level: number;
  /** Slow tail that a display standing still may hide, K: it moved by less than a digit over the window. */
  readonly hidden: number;
}

const quantisation = (blocks: readonly Block[], { resolution, horizon }: SettlingOptions): Quantisation => {
  if (resolution === 0) return { level: 0, hidden: 0 };
  const count = blocks.reduce((sum, block) => sum + block.count, 0);
  const scatter = blocks.reduce((sum, block) => sum + block.scatter, 0);
  const moves = count > blocks.length && Math.sqrt(scatter / (count - blocks.length)) > scatterThatMoves * resolution;
  if (moves) return { level: movingDisplay * resolution, hidden: 0 };
  const span = blocks.at(-1)!.time - blocks[0]!.time;
  return { level: stuckDisplay * resolution, hidden: resolution / Math.expm1(span / horizon) };
};

/** Movement of the reference over some blocks, K/s: the slope of the straight line through them. */
const referenceMovement = (blocks: readonly Block[]): number => {
  const middle = blocks.reduce((sum, { time }) => sum + time, 0) / blocks.length;
  let cross = 0;
  let squares = 0;
  for (const { time, reference } of blocks) {
    cross += (time - middle) * reference;
    squares += (time - middle) ** 2;
  }
  return squares > 0 ? cross / squares : 0;
};

/** How near to ready a look must be for its doubt to be worked out in full. */
const nearReady = 1.5;

/** Replaces what a look says of the estimate, its uncertainty and the remainder by what all readings since the source rests say. */
const stated = (look: Judgement, { blocks, minutes, travel }: Approach, options: SettlingOptions): Judgement => {
  const window = blocks.filter(({ time }) => time >= look.window.from);
  const digits = quantisation(window, options);
  // A display that stands still hides what happens below its digit: only the bound speaks then.
  if (digits.hidden > 0) return look;
  const doubt = stateDoubt(
    { blocks, minutes, travel },
    trendOf(window),
    { movement: Math.abs(referenceMovement(window)), digits: digits.level, bound: look.bound },
    options,
  );
  if (doubt === null) return look;
  return {
    ...look,
    estimate: doubt.estimate,
    U: Math.min(look.bound, doubt.U),
    remainder: Math.min(look.remainder, doubt.remainder),
  };
};

const judgeWindow = (
  blocks: readonly Block[],
  options: SettlingOptions,
  travel: Travel | null,
  tail: SlowTail | null,
): Judgement => {
  const trend: Trend = trendOf(blocks);
  const { target } = options;
  const horizon = Math.max(options.horizon, tail?.longest ?? 0);
  const lag = Math.abs(trend.slope) * Math.max(slopeMargin * options.horizon, tail?.longest ?? 0);
  const doubt = slopeCoverage * trend.slopeStandardError * horizon;
  const movement = referenceMovement(blocks);
  const creep =
    longestLag(travel, { level: trend.level, movement, latest: blocks.at(-1)! }, options) * Math.abs(movement);
  const digits = quantisation(blocks, options);
  const swing = options.reports === "estimate" ? swingLeft * trend.swing : trend.swing;
  const remainder = Math.hypot(Math.max(lag + doubt, digits.hidden, creep), swing, unseenCreep * target);
  // A slope that is more than chance carries the estimate to the end of the window and a part of the rest on; one that is not, does not.
  const { weight } = trend;
  const ahead = (trend.to - trend.from) / 2;
  const carried = weight * trend.slope * (ahead + carriedShare * horizon);
  const noise = 2 * Math.hypot(trend.levelStandardError, weight * ahead * trend.slopeStandardError);
  const bound = Math.hypot(noise, digits.level) + remainder;
  const parts = [
    { term: "lag" as const, size: lag },
    { term: "creep" as const, size: Math.hypot(Math.max(0, creep - lag - doubt), swing) },
    { term: "noise" as const, size: noise + doubt },
    { term: "resolution" as const, size: Math.max(digits.level, digits.hidden - lag - doubt) },
  ];
  const whole = parts.reduce((sum, part) => sum + part.size, 0);
  return {
    at: trend.to,
    estimate: trend.level + carried,
    remainder,
    standardUncertainty: Math.hypot(noise, digits.level) / 2,
    slope: trend.slope,
    slopeStandardError: trend.slopeStandardError,
    autocorrelation: trend.autocorrelation,
    window: { from: trend.from, to: trend.to },
    bound,
    U: bound,
    ratio: Math.max(bound / target, remainder / (target / 2)),
    slowTail: tail,
    inTheWay: parts
      .filter((part) => part.size > 0)
      .map((part) => ({ term: part.term, share: part.size / whole }))
      .toSorted((a, b) => b.share - a.share),
  };
};

/**
 * Looks at the approach through its whole window, the last half and the last quarter of it, none shorter than the
 * minimum, and keeps what comes nearest to ready. Null while there is less than the shortest window.
 */
export const judgeBlocks = (
  { blocks, minutes, travel }: Approach,
  options: SettlingOptions,
  tail: SlowTail | null,
): Judgement | null => {
  const fewest = Math.max(4, Math.ceil(options.minimumWindow / blockLength));
  if (blocks.length < fewest) return null;
  const lengths = new Set([1, 1.5, 2, 3, 4].map((part) => Math.max(fewest, Math.floor(blocks.length / part))));
  const looks = [...lengths].map((length) => judgeWindow(blocks.slice(-length), options, travel, tail));
  const best = looks.reduce((nearest, look) => (look.ratio < nearest.ratio ? look : nearest));
  return best.ratio > nearReady ? best : stated(best, { blocks, minutes, travel }, options);
};
