import { blockToBlock, scatterOf } from "./block-noise.ts";
import type { Block } from "./block.ts";
import { blockLength, swingLeft } from "./lengths.ts";
import type { SettlingOptions } from "./options.ts";
import { weighTails, type Weighed, type WeighedMean } from "./tail-hypotheses.ts";
import type { Travel } from "./travel.ts";
import type { Trend } from "./trend.ts";

/** What is stated of a point: see `docs/science/settling.md`. */
export interface StatedDoubt {
  /** Steady difference indication − reference, K, and its expanded uncertainty, 95 %. */
  readonly estimate: number;
  readonly U: number;
  /** Bound on what is still missing when the point is measured, about 95 %, K. */
  readonly remainder: number;
}

/** A stretch of the past is believed where no more than so many times the noise is left unexplained; else it is shortened. */
const believable = 3;
const shorten = 0.8;
/** The past counts from when the reference has been within this share of the target, and the difference within so many targets. */
const referenceRests = 0.4;
const differenceNear = 10;
/** A reference whose swing does more than this share of the target leaves only the window from which the swing was taken out. */
const swingTells = 0.15;

/** Lags up to so many times the item's own, learnt from the area, are taken for its own; s where nothing was learnt. */
const ownLagFactor = 2;
const [leastOwn, mostOwn, unknownOwn] = [30, 300, 140];
/** Nothing is learnt from less travel than this, K. */
const shortestTravel = 3;

/** No hypothesis is the truth: this share of what it carries on beyond the readings stays in doubt. */
const modelDoubt = 0.4;
/** What is missing dies down more slowly than one exponential says, where there are several. */
const missingDoubt = 1.15;
/** The bound of a look, in standard deviations of what is missing. */
const boundInDeviations = 3;
/**
 * How far wells creep apart unseen: for each kelvin of a source's unsteadiness and each kelvin of travel, and for the travel
 * alone; limits in targets.
 */
const creepPerUnsteadiness = 0.05;
const creepPerTravel = 5e-5;
const [leastCreep, mostCreep] = [0.1, 0.4];
/** A source that takes this long until the point is ready creeps as much as any, s; of a quicker one the square of its share. */
const massiveAfter = 600;
/** The approach was watched from its start where no more than so many times its travel was asked for. */
const sentBefore = 1.2;

const lagOf = (travel: Travel | null, level: number, latest: Block): { readonly lag: number; readonly way: number } => {
  if (travel === null) return { lag: 0, way: 0 };
  const way = latest.reference + latest.difference - travel.item;
  const area = level * (travel.until - travel.time) - travel.area;
  return { lag: way === 0 ? 0 : Math.abs(area / way), way: Math.abs(way) };
};

/** How massive the source is by its own way to rest: 1 where it took long, or where it had come to rest before. */
const massOf = (travel: Travel, latest: Block, way: number): number => {
  const moved = Math.abs(latest.reference - (travel.item - travel.difference));
  return moved < way / 2 ? 1 : Math.min(1, (latest.time - travel.time) / massiveAfter) ** 2;
};

/** All that is kept of the past since the reference rests: minutes where blocks are no longer kept, then blocks. */
const restingPast = (
  blocks: readonly Block[],
  minutes: readonly Block[],
  level: number,
  target: number,
): readonly WeighedMean[] => {
  const latest = blocks.at(-1)!;
  const first = blocks[0]!.time;
  const past = [
    ...minutes.filter(({ time }) => time < first - 35).map((block) => ({ ...block, weight: 6 })),
    ...blocks.map((block) => ({ ...block, weight: 1 })),
  ];
  let begin = past.length - 1;
  while (
    begin > 0 &&
    Math.abs(past[begin - 1]!.reference - latest.reference) < referenceRests * target &&
    Math.abs(past[begin - 1]!.difference - level) < differenceNear * target
  ) {
    begin -= 1;
  }
  return past.slice(begin);
};

/** The longest stretch that the hypotheses explain. */
const weighLongest = (
  past: readonly WeighedMean[],
  window: readonly WeighedMean[],
  settings: Parameters<typeof weighTails>[1],
): Weighed => {
  for (let length = past.length; length > window.length; length = Math.floor(length * shorten)) {
    const weighed = weighTails(past.slice(-length), settings);
    if (weighed.misfit < believable) return weighed;
  }
  return weighTails(window, settings);
};

/**
 * What can be stated of the steady difference once a look at the approach is near to ready: tighter than the bound by
 * which readiness is decided, because it uses all that was read since the source came to rest, and what was learnt of the
 * item's own lag. Null where the noise cannot be told (all values alike).
 */
export const stateDoubt = (
  {
    blocks,
    minutes,
    travel,
  }: { readonly blocks: readonly Block[]; readonly minutes: readonly Block[]; readonly travel: Travel | null },
  trend: Trend,
  { movement, digits, bound }: { readonly movement: number; readonly digits: number; readonly bound: number },
  { target, horizon, sent = 0 }: SettlingOptions,
): StatedDoubt | null => {
  const window = trend.corrected.map(({ time, difference }) => ({ time, difference, weight: 1 }));
  const noise = scatterOf(window, "parabola");
  const variance = Math.max(noise.scatter, blockToBlock(blocks)) * noise.inflation;
  if (!(variance > 0)) return null;
  const latest = blocks.at(-1)!;
  const { lag, way } = lagOf(travel, trend.level, latest);
  const known = travel !== null && travel.whole && way > shortestTravel;
  const slowFrom = known ? Math.min(mostOwn, Math.max(leastOwn, ownLagFactor * lag)) : unknownOwn;
  const settings = { end: latest.time + blockLength / 2, target, variance, slowFrom };
  const past = trend.swing > swingTells * target ? window : restingPast(blocks, minutes, trend.level, target);
  const weighed = weighLongest(past, window, settings);
  const widening = Math.max(1, weighed.misfit);

  const atEnd = trend.level + (trend.weight * trend.slope * (trend.to - trend.from)) / 2;
  // By the look at the slope alone what is missing lies within its bound: a normal prior, which only tells where the hypotheses do not.
  const spread = widening * weighed.standardDeviation;
  const prior = bound / boundInDeviations;
  const kept = prior ** 2 / (prior ** 2 + spread ** 2);
  const carried = Math.min(bound, Math.max(-bound, kept * (weighed.estimate - atEnd)));
  const deviation = Math.sqrt(kept) * spread;
  const missing = kept * weighed.missing;
  const unsteady = Math.sqrt(
    scatterOf(
      blocks.slice(-trend.blocks).map(({ time, reference }) => ({ time, difference: reference })),
      "landing",
    ).scatter,
  );
  // Seen from its start: a source that came to rest within minutes has nothing in it that creeps for an hour.
  const massive = known && sent <= sentBefore * way ? massOf(travel, latest, way) : 1;
  const unseen = known
    ? massive * Math.hypot(creepPerUnsteadiness * unsteady, creepPerTravel) * Math.max(way, sent)
    : mostCreep * target;
  const shared = Math.hypot(
    modelDoubt * carried,
    Math.min(mostCreep * target, unseen),
    massive * leastCreep * target,
    Math.min(horizon, lag) * movement,
  );
  return {
    estimate: atEnd + carried,
    U: Math.hypot(2 * deviation, shared, digits, swingLeft * trend.swing),
    remainder:
      missingDoubt * Math.abs(missing) +
      Math.hypot(2 * Math.sqrt(kept) * widening * weighed.missingDeviation, shared, trend.swing),
  };
};
