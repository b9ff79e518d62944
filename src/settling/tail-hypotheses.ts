import { choleskyFactor } from "#numerics";

/** A mean of some readings; `weight` in units of one short block. */
export interface WeighedMean {
  readonly time: number;
  readonly difference: number;
  readonly weight: number;
}

/** What the hypotheses about the rest of the approach say together, each weighed by how well it explains the readings. */
export interface Weighed {
  /** Where the difference is going, K: mean of the hypotheses; and their standard deviation, scatter between them included. */
  readonly estimate: number;
  readonly standardDeviation: number;
  /** What is still missing when the point is measured, K: the same two. */
  readonly missing: number;
  readonly missingDeviation: number;
  /** Mean square of what is left unexplained over that of the noise: about 1 where the model fits. */
  readonly misfit: number;
}

export interface TailSettings {
  /** End of the stretch, s. */
  readonly end: number;
  /** K */
  readonly target: number;
  /** Of one block's mean, autocorrelation accounted for, K². */
  readonly variance: number;
  /** Lags up to this long are the item's own, or the source's; what is slower is a tail that may be there or not, s. */
  readonly slowFrom: number;
}

/** How likely it is, before anything was read, that an approach has no tail beyond the item's own lag. */
const noTail = 0.93;
const ownLags = [8, 13, 20, 32, 50, 80, 130, 200];
const lagRatio = 1.12;
const slowestTail = 1600;
/** Tails slower than this are the rarer the slower they are, s. */
const usualTail = 500;
/** Standard deviation of a tail's size at the end of the stretch, in targets: each as likely as the next. */
const sizes = [0.03, 0.08, 0.2, 0.5, 1.2];
/** Of what dies down soon, as a share of the range of the stretch. */
const ownShares = [1, 0.1];
/** From the end of the stretch to the middle of what will be measured, s. */
const measuredLater = 30;

interface Shape {
  readonly lag: number;
  /** Its values at the means, less their weighted mean; that mean; and its value when the point is measured. */
  readonly centred: Float64Array;
  readonly mean: number;
  readonly later: number;
}

interface Part {
  readonly log: number;
  readonly steady: number;
  readonly steadyVariance: number;
  readonly missing: number;
  readonly missingVariance: number;
  readonly explained: number;
}

const product = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let sum = 0;
  for (let index = 0; index < a.length; index += 1) sum += a[index]! * b[index]!;
  return sum;
};

/** Solves L·x = b for a lower triangle. */
const solveLower = (lower: readonly (readonly number[])[], b: readonly number[]): number[] => {
  const x: number[] = [];
  b.forEach((value, row) => {
    let rest = value;
    for (let column = 0; column < row; column += 1) rest -= lower[row]![column]! * x[column]!;
    x.push(rest / lower[row]![row]!);
  });
  return x;
};

/** The readings of a stretch, centred and weighed, with the shapes that may be in them. */
class Stretch {
  readonly weights: Float64Array;
  readonly level: number;
  readonly values: Float64Array;
  readonly range: number;
  readonly whole: number;
  readonly squares: number;
  readonly own: readonly Shape[];
  readonly tails: readonly Shape[];
  readonly #means: readonly WeighedMean[];
  readonly #end: number;

  constructor(means: readonly WeighedMean[], { end, slowFrom }: TailSettings) {
    this.#means = means;
    this.#end = end;
    this.weights = Float64Array.from(means, ({ weight }) => weight);
    this.whole = this.weights.reduce((sum, weight) => sum + weight, 0);
    const differences = Float64Array.from(means, ({ difference }) => difference);
    this.level = product(this.weights, differences) / this.whole;
    this.values = differences.map((difference) => difference - this.level);
    this.range = Math.max(...differences) - Math.min(...differences);
    this.squares = this.dot(this.values, this.values);
    this.own = ownLags.filter((lag) => lag <= slowFrom).map((lag) => this.#shape(lag, means[0]!.time));
    const lags: number[] = [];
    for (let lag = slowFrom * lagRatio; lag < slowestTail; lag *= lagRatio) lags.push(lag);
    this.tails = lags.map((lag) => this.#shape(lag, end));
  }

  dot(a: Float64Array, b: Float64Array): number {
    let sum = 0;
    for (let index = 0; index < a.length; index += 1) sum += this.weights[index]! * a[index]! * b[index]!;
    return sum;
  }

  /** An exponential that is 1 at a moment. */
  #shape(lag: number, at: number): Shape {
    const values = Float64Array.from(this.#means, ({ time }) => Math.exp((at - time) / lag));
    const mean = product(this.weights, values) / this.whole;
    const later = Math.exp((at - this.#end - measuredLater) / lag);
    return { lag, centred: values.map((value) => value - mean), mean, later };
  }
}

/** All hypotheses with the item's own lags sized by `size`: none with a tail, then one of each time constant and size. */
const partsOf = (stretch: Stretch, { target, variance }: TailSettings, size: number): Part[] => {
  const { own, tails } = stretch;
  const scale = (value: number): number => (value * size) / variance;
  const lower = choleskyFactor(
    own.map((a, row) =>
      own.map((b, column) => scale(stretch.dot(a.centred, b.centred)) * size + (row === column ? 1 : 0)),
    ),
  )!;
  const values = solveLower(
    lower,
    own.map(({ centred }) => scale(stretch.dot(centred, stretch.values))),
  );
  const means = solveLower(
    lower,
    own.map(({ mean }) => mean * size),
  );
  const laters = solveLower(
    lower,
    own.map(({ later }) => later * size),
  );
  const explained = product(values, values);
  const volume = lower.reduce((sum, row, index) => sum + Math.log(row[index]!), 0);
  const plain: Part = {
    log: Math.log(noTail) + explained / 2 - volume,
    steady: stretch.level - product(values, means),
    steadyVariance: variance / stretch.whole + product(means, means),
    missing: product(values, laters),
    missingVariance: product(laters, laters),
    explained,
  };
  const rarity = tails.map(({ lag }) => Math.min(1, usualTail / lag));
  const all = rarity.reduce((sum, weight) => sum + weight, 0) * sizes.length;
  const withTails = tails.flatMap((tail, place) => {
    // What the tail adds to what the own lags explain: one more row of the same triangle.
    const row = solveLower(
      lower,
      own.map(({ centred }) => scale(stretch.dot(centred, tail.centred))),
    );
    const precision = stretch.dot(tail.centred, tail.centred) / variance - product(row, row);
    const rest = stretch.dot(tail.centred, stretch.values) / variance - product(row, values);
    const toSteady = tail.mean - product(row, means);
    const toLater = tail.later - product(row, laters);
    return sizes.map((inTargets): Part => {
      const prior = 1 / (inTargets * target) ** 2;
      const sum = Math.max(0, precision) + prior;
      const more = rest ** 2 / sum;
      return {
        log:
          Math.log(((1 - noTail) * rarity[place]!) / all) + (explained + more) / 2 - volume - Math.log(sum / prior) / 2,
        steady: plain.steady - (toSteady * rest) / sum,
        steadyVariance: plain.steadyVariance + toSteady ** 2 / sum,
        missing: plain.missing + (toLater * rest) / sum,
        missingVariance: plain.missingVariance + toLater ** 2 / sum,
        explained: explained + more,
      };
    });
  });
  return [plain, ...withTails];
};

/** Noise below this share of the range of a stretch is not believed: it would only be rounding. */
const leastNoise = 1e-4;

/**
 * Weighs hypotheses about what is still missing: a steady difference, the item's own lags dying down, and a tail that may
 * or may not be there, of many time constants and sizes. Each is a linear model with normal priors (flat for the steady
 * difference), so its evidence and what it says are in closed form, and together they are a mixture.
 */
export const weighTails = (means: readonly WeighedMean[], asked: TailSettings): Weighed => {
  const stretch = new Stretch(means, asked);
  const range = Math.max(asked.target, stretch.range);
  const settings = { ...asked, variance: Math.max(asked.variance, (leastNoise * range) ** 2) };
  const parts = ownShares.flatMap((share) => partsOf(stretch, settings, share * range));
  const highest = parts.reduce((most, { log }) => Math.max(most, log), Number.NEGATIVE_INFINITY);
  const weights = parts.map(({ log }) => Math.exp(log - highest));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const average = (of: (part: Part) => number): number =>
    parts.reduce((total, part, index) => total + weights[index]! * of(part), 0) / sum;
  const estimate = average(({ steady }) => steady);
  const missing = average((part) => part.missing);
  return {
    estimate,
    standardDeviation: Math.sqrt(average((part) => part.steadyVariance + (part.steady - estimate) ** 2)),
    missing,
    missingDeviation: Math.sqrt(average((part) => part.missingVariance + (part.missing - missing) ** 2)),
    misfit: (stretch.squares / settings.variance - average(({ explained }) => explained)) / stretch.whole,
  };
};
