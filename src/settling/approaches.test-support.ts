import { seededGenerator, type Generator } from "#numerics";

/** One approach in closed form: a source of two time constants, a reference and an item with lags of their own. */
export interface Approach {
  readonly name: string;
  /** Steady difference item − reference, K. */
  readonly truth: number;
  readonly times: Float64Array;
  readonly reference: Float64Array;
  readonly item: Float64Array;
  readonly resolution: number;
  /** Where the source was sent, °C. */
  readonly setPoint: number;
}

export interface ApproachClass {
  readonly name: string;
  readonly step: number;
  readonly source: number;
  /** Share of the source's response that creeps, and its time constant, s. */
  readonly creep: readonly [number, number];
  readonly referenceLag: number;
  readonly itemLag: number;
  /** Share of the item's response that comes late, and its extra lag, s. */
  readonly loose: readonly [number, number];
  readonly noise: number;
  /** Lag-1 correlation of the noise from second to second. */
  readonly correlation: number;
  readonly resolution: number;
  /** Amplitude and period of the source's cycling. */
  readonly cycling: readonly [number, number];
}

const plain: ApproachClass = {
  name: "thin probe in a bath",
  step: 60,
  source: 60,
  creep: [0.01, 400],
  referenceLag: 8,
  itemLag: 12,
  loose: [0, 1],
  noise: 0.004,
  correlation: 0.3,
  resolution: 0,
  cycling: [0, 1],
};

export const classes: readonly ApproachClass[] = [
  plain,
  {
    ...plain,
    name: "6 mm probe in a dry block",
    step: 100,
    source: 120,
    creep: [0.02, 600],
    itemLag: 45,
    noise: 0.006,
  },
  { ...plain, name: "thick thermowell", step: 100, source: 120, creep: [0.02, 600], itemLag: 150, noise: 0.006 },
  {
    ...plain,
    name: "loose fit, 5 % late by 300 s",
    step: 80,
    source: 120,
    itemLag: 40,
    loose: [0.05, 300],
    noise: 0.005,
  },
  { ...plain, name: "display of 0.05 K", step: 80, source: 100, itemLag: 40, resolution: 0.05, noise: 0.002 },
  { ...plain, name: "strongly correlated noise", step: 80, source: 100, itemLag: 30, noise: 0.01, correlation: 0.95 },
  { ...plain, name: "source cycling by 20 mK", step: 80, source: 100, itemLag: 50, noise: 0.003, cycling: [0.02, 120] },
];

/** A fit looser than the ordinary bound holds by itself. */
export const veryLoose: ApproachClass = {
  ...plain,
  name: "loose fit, 5 % late by 600 s",
  step: 100,
  source: 80,
  itemLag: 30,
  loose: [0.05, 600],
  noise: 0.004,
};

/** A loose fit behind a display that shows only tenths: between two flips of the last digit the tail cannot be seen. */
export const coarseAndLoose: ApproachClass = {
  ...plain,
  name: "display of 0.1 K and a loose fit",
  step: 80,
  source: 80,
  itemLag: 30,
  loose: [0.05, 300],
  noise: 0.002,
  resolution: 0.1,
};

/** A thick probe in a source that swings slowly: the item follows late and weakened. */
export const slowSwing: ApproachClass = {
  ...plain,
  name: "thick probe, source cycling by 80 mK in 250 s",
  step: 80,
  source: 80,
  itemLag: 120,
  noise: 0.004,
  cycling: [0.08, 250],
};

/** Response of a chain of first-order lags to a unit step, by its partial fractions; equal lags are kept apart a little. */
const chain = (lags: readonly number[]): ((age: number) => number) => {
  const apart = lags.map((lag, index) => lag * (1 + 1e-4 * index));
  const weights = apart.map((lag, index) =>
    apart.reduce((product, other, at) => (at === index ? product : (product * lag) / (lag - other)), 1),
  );
  return (age) => 1 - apart.reduce((sum, lag, index) => sum + weights[index]! * Math.exp(-age / lag), 0);
};

const cyclingThrough = ([amplitude, period]: readonly [number, number], lag: number, phase: number) => {
  const omega = (2 * Math.PI) / period;
  const gain = amplitude / Math.hypot(1, omega * lag);
  return (age: number): number => gain * Math.sin(omega * age + phase - Math.atan(omega * lag));
};

const correlatedNoise = (generator: Generator, sd: number, correlation: number) => {
  let value = sd * generator.normal();
  return (): number => {
    value = correlation * value + sd * Math.sqrt(1 - correlation ** 2) * generator.normal();
    return value;
  };
};

/** Two hours at one reading in two seconds; lags and steps vary by ±30 % with the seed. */
export const approachOf = (kind: ApproachClass, seed: number): Approach => {
  const generator = seededGenerator(seed).fork(kind.name);
  const vary = (value: number): number => value * (0.7 + 0.6 * generator.next());
  const step = vary(kind.step) * (generator.next() < 0.3 ? -1 : 1);
  const lags = { source: vary(kind.source), reference: vary(kind.referenceLag), item: vary(kind.itemLag) };
  const phase = 2 * Math.PI * generator.next();
  const truth = 0.4 * (generator.next() - 0.5);
  const through = (lag: number) => {
    const swift = chain([lags.source, lag]);
    const slow = chain([lags.source, kind.creep[1], lag]);
    const cycle = cyclingThrough(kind.cycling, lag, phase);
    return (age: number): number => step * ((1 - kind.creep[0]) * swift(age) + kind.creep[0] * slow(age)) + cycle(age);
  };
  const reference = through(lags.reference);
  const direct = through(lags.item);
  const late = through(lags.item + kind.loose[1]);
  const noises = [
    correlatedNoise(generator, kind.noise, kind.correlation),
    correlatedNoise(generator, kind.noise, kind.correlation),
  ] as const;
  const count = 3600;
  const times = Float64Array.from({ length: count }, (_, index) => 2 * index);
  const show = (value: number): number =>
    kind.resolution === 0 ? value : Math.round(value / kind.resolution) * kind.resolution;
  return {
    name: kind.name,
    truth,
    times,
    reference: times.map((age) => 20 + reference(age) + noises[0]()),
    item: times.map((age) =>
      show(20 + truth + (1 - kind.loose[0]) * direct(age) + kind.loose[0] * late(age) + noises[1]()),
    ),
    resolution: kind.resolution,
    setPoint: 20 + step,
  };
};
