import { blockLength, type SettlingOptions } from "./options.ts";
import { lagBehind, type Following } from "./following.ts";
import type { Block } from "./state.ts";
import { trendOf, type Trend } from "./trend.ts";

export const obstacles = ["lag", "creep", "noise", "resolution", "window"] as const;
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
  /** 1 or less when every condition holds; how many times too large the worst one is otherwise. */
  readonly ratio: number;
  /** What is in the way, largest first; shares add up to 1. */
  readonly inTheWay: readonly { readonly term: Obstacle; readonly share: number }[];
}

/** One-sided 95 % with the few degrees of freedom of a short window in mind. */
const slopeCoverage = 1.75;

/** Quantisation left in a mean, in units of one digit: of a display that stands still, and of one that noise moves. */
const stuckDisplay = 0.48;
const movingDisplay = 0.12;

/**
 * A reference that still moves leaves the item behind, however steady the difference: while a source ramps evenly, the
 * difference of two probes stands still. No pair of probes is trusted to be nearer to each other than this, s.
 */
const leastLag = 60;
/** The lag is learnt from the fast part of the approach and comes out low where the item is slower than the source. */
const lagMargin = 1.5;

const quantisation = (blocks: readonly Block[], resolution: number): number => {
  if (resolution === 0) return 0;
  const count = blocks.reduce((sum, block) => sum + block.count, 0);
  const scatter = blocks.reduce((sum, block) => sum + block.scatter, 0);
  const moves = count > blocks.length && Math.sqrt(scatter / (count - blocks.length)) > 0.3 * resolution;
  return (moves ? movingDisplay : stuckDisplay) * resolution;
};

/** Movement of the reference over some blocks, K/s: the ends' thirds against each other. */
const referenceMovement = (blocks: readonly Block[]): number => {
  const third = Math.max(1, Math.floor(blocks.length / 3));
  const mean = (some: readonly Block[], of: (block: Block) => number): number =>
    some.reduce((sum, block) => sum + of(block), 0) / some.length;
  const early = blocks.slice(0, third);
  const late = blocks.slice(-third);
  const span = mean(late, (block) => block.time) - mean(early, (block) => block.time);
  return span > 0 ? (mean(late, (block) => block.reference) - mean(early, (block) => block.reference)) / span : 0;
};

const judgeWindow = (blocks: readonly Block[], options: SettlingOptions, following: Following | null): Judgement => {
  const trend: Trend = trendOf(blocks);
  const { horizon, target } = options;
  const lag = Math.abs(trend.slope) * horizon;
  const doubt = slopeCoverage * trend.slopeStandardError * horizon;
  const movement = referenceMovement(blocks);
  const trailing = lagBehind(following);
  const creep = Math.max(leastLag, lagMargin * (trailing ?? 0)) * Math.abs(movement);
  const remainder = Math.hypot(lag + doubt, creep);
  const digits = quantisation(blocks, options.resolution);
  const ahead = (trend.to - trend.from) / 2;
  // The readings that will be reported come after the window, so the line is followed to its end.
  const noise = 2 * Math.hypot(trend.levelStandardError, ahead * trend.slopeStandardError);
  const bound = Math.hypot(noise, digits) + remainder;
  const parts = [
    { term: "lag" as const, size: lag },
    { term: "creep" as const, size: creep },
    { term: "noise" as const, size: noise + doubt },
    { term: "resolution" as const, size: digits },
  ];
  const whole = parts.reduce((sum, part) => sum + part.size, 0);
  return {
    at: trend.to,
    estimate: trend.level + ahead * trend.slope,
    remainder,
    standardUncertainty: Math.hypot(noise, digits) / 2,
    slope: trend.slope,
    slopeStandardError: trend.slopeStandardError,
    autocorrelation: trend.autocorrelation,
    window: { from: trend.from, to: trend.to },
    bound,
    ratio: Math.max(bound / target, remainder / (target / 2)),
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
  blocks: readonly Block[],
  options: SettlingOptions,
  following: Following | null,
): Judgement | null => {
  const fewest = Math.max(4, Math.ceil(options.minimumWindow / blockLength));
  if (blocks.length < fewest) return null;
  const lengths = new Set([1, 2, 4].map((part) => Math.max(fewest, Math.floor(blocks.length / part))));
  const looks = [...lengths].map((length) => judgeWindow(blocks.slice(-length), options, following));
  return looks.reduce((best, look) => (look.ratio < best.ratio ? look : best));
};
