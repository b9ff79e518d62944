import { seededGenerator, type Generator } from "#numerics";

/**
 * Approaches on a physics that is not the simulated bench's and that no constant of this room was chosen on: sources as
 * steps, ramps with a landing and overshoots; probes by the series of a slab into which heat diffuses (1/√t at first, then
 * exponential), with dead time; noise of several correlation times; sampling that is uneven or broken off.
 */
export interface OtherApproach {
  readonly times: readonly number[];
  readonly reference: readonly number[];
  readonly item: readonly number[];
  /** Steady difference item − reference, K. */
  readonly truth: number;
  readonly target: number;
  readonly resolution: number;
  readonly setPoint: number;
}

export interface OtherKind {
  readonly name: string;
  readonly travel: number;
  readonly source: "step" | "ramp" | "overshoot" | "plunge";
  /** Time constant of the source's landing, s; K/s of a ramp. */
  readonly landing: number;
  readonly rate: number;
  readonly referenceLag: number;
  /** Longest time constant of the item's diffusion series, s, and its dead time. */
  readonly itemLag: number;
  readonly deadTime: number;
  readonly loose: readonly [share: number, lag: number];
  /** Share of the travel by which the wells creep apart, and its time constant, s. */
  readonly creep: readonly [share: number, lag: number];
  readonly cycling: readonly [amplitude: number, period: number];
  /** White, correlated over 40 s, and 1/f (octaves from 8 s to 2048 s), standard deviations, K. */
  readonly noise: readonly [white: number, correlated: number, flicker: number];
  /** Amplitude of a slow swing of the difference with the room's temperature, K, over an hour. */
  readonly ambient: number;
  readonly interval: number;
  /** Share of the interval by which readings come early or late. */
  readonly jitter: number;
  readonly gaps: boolean;
  readonly resolution: number;
  readonly target: number;
  /** Readings begin when so much of the time since the command has passed, s. */
  readonly late: number;
}

const plain: OtherKind = {
  name: "slab probe, landing ramp",
  travel: 120,
  source: "ramp",
  landing: 40,
  rate: 0.25,
  referenceLag: 10,
  itemLag: 35,
  deadTime: 3,
  loose: [0, 1],
  creep: [0.0002, 1500],
  cycling: [0.004, 50],
  noise: [0.005, 0.002, 0.001],
  ambient: 0,
  interval: 2,
  jitter: 0,
  gaps: false,
  resolution: 0,
  target: 0.1,
  late: 0,
};

export const otherKinds: readonly OtherKind[] = [
  { ...plain, name: "quick probe, step in a bath, every second", travel: 60, source: "step", landing: 15, itemLag: 10, referenceLag: 6, creep: [0, 1], noise: [0.003, 0.001, 0.0005], interval: 1, target: 0.05 }, // prettier-ignore
  plain,
  { ...plain, name: "thick slab, every 5 s", itemLag: 160, deadTime: 12, interval: 5, target: 0.15 },
  { ...plain, name: "loose fit 2 % at 300 s", loose: [0.02, 300] },
  { ...plain, name: "loose fit 5 % at 300 s", loose: [0.05, 300] },
  { ...plain, name: "loose fit 5 % at 300 s, quick, bath", travel: 60, source: "step", landing: 15, itemLag: 8, loose: [0.05, 300], creep: [0, 1], interval: 1 }, // prettier-ignore
  { ...plain, name: "loose fit 5 % at 600 s", loose: [0.05, 600], target: 0.15 },
  { ...plain, name: "two slow lags, 3 % at 180 s and 2 % at 400 s as one slab", loose: [0.04, 420], itemLag: 90 },
  { ...plain, name: "cooling", travel: -150, rate: 0.12 },
  { ...plain, name: "source that overshoots", source: "overshoot", landing: 60 },
  { ...plain, name: "cycling ±80 mK, 250 s", cycling: [0.08, 250], itemLag: 70 },
  { ...plain, name: "uneven sampling with gaps", jitter: 0.4, gaps: true },
  { ...plain, name: "display of 0.1 K", resolution: 0.1, noise: [0.01, 0.002, 0.001], target: 0.25 },
  { ...plain, name: "1/f noise", noise: [0.004, 0.002, 0.008] },
  { ...plain, name: "noisy thermocouple", noise: [0.04, 0.01, 0.005], target: 0.3 },
  { ...plain, name: "reference slower than the item", referenceLag: 50, itemLag: 12 },
  { ...plain, name: "item plunged into a source at rest", source: "plunge", itemLag: 60 },
  { ...plain, name: "watched from the middle of the approach", late: 300 },
  { ...plain, name: "furnace, creep of half an hour", travel: 300, rate: 0.4, landing: 60, referenceLag: 40, itemLag: 80, creep: [0.0003, 1800], cycling: [0.03, 120], noise: [0.02, 0.01, 0.005], target: 0.3 }, // prettier-ignore
  { ...plain, name: "room that swings", ambient: 0.005 },
  { ...plain, name: "a tight target", target: 0.03 },
];

/** Relative weights of the modes of a slab heated from one side. */
const slabModes = 6;
const slabOf = (longest: number): readonly (readonly [weight: number, lag: number])[] => {
  const modes = Array.from({ length: slabModes }, (_, index) => 1 / (2 * index + 1) ** 2);
  const whole = modes.reduce((sum, weight) => sum + weight, 0);
  return modes.map((weight) => [weight / whole, longest * weight]);
};

const octaves = [8, 16, 32, 64, 128, 256, 512, 1024, 2048];

/** Noise as a sum of first-order processes, at any spacing of the moments. */
const noiseOf = (
  generator: Generator,
  [white, correlated, flicker]: OtherKind["noise"],
): ((step: number) => number) => {
  const parts = [
    { sd: correlated, lag: 40 },
    ...octaves.map((lag) => ({ sd: flicker / Math.sqrt(octaves.length), lag })),
  ].map(({ sd, lag }) => ({ sd, lag, value: sd * generator.normal() }));
  return (step) => {
    let sum = white * generator.normal();
    for (const part of parts) {
      const keep = Math.exp(-step / part.lag);
      part.value = keep * part.value + part.sd * Math.sqrt(1 - keep * keep) * generator.normal();
      sum += part.value;
    }
    return sum;
  };
};

/** The undisturbed course of the source after its command at 0, as a share of the travel. */
const sourceOf = (kind: OtherKind, landing: number, rate: number, travel: number): ((age: number) => number) => {
  if (kind.source === "plunge") return () => 1;
  if (kind.source === "step") return (age) => -Math.expm1(-age / landing);
  if (kind.source === "overshoot") {
    // A second-order source with a damping of 0.5 behind a ramp of its own.
    const omega = Math.sqrt(1 - 0.25) / landing;
    return (age) =>
      1 - Math.exp((-0.5 * age) / landing) * (Math.cos(omega * age) + (0.5 / Math.sqrt(0.75)) * Math.sin(omega * age));
  }
  // An even ramp whose pace dies down with the landing's time constant near the end.
  const share = rate / Math.abs(travel);
  const arrives = Math.max(0, 1 / share - landing);
  return (age) => (age <= arrives ? share * age : 1 - share * landing * Math.exp(-(age - arrives) / landing));
};

/** One approach: at most 3000 readings, everything from the seed. Sizes and lags vary by ±30 %. */
export const otherApproachOf = (kind: OtherKind, seed: number): OtherApproach => {
  const generator = seededGenerator(seed).fork(kind.name);
  const draw = generator.fork("draws");
  const vary = (value: number): number => value * (0.7 + 0.6 * draw.next());
  const travel = vary(kind.travel) * (kind.source === "step" && draw.next() < 0.3 ? -1 : 1);
  const source = sourceOf(kind, vary(kind.landing), vary(kind.rate), travel);
  const referenceLag = vary(kind.referenceLag);
  const [looseShare, looseLag] = kind.loose;
  const itemModes = slabOf(vary(kind.itemLag)).map(([weight, lag]) => ({
    weight: weight * (1 - looseShare),
    lag,
    value: 0,
  }));
  itemModes.push({ weight: looseShare, lag: vary(looseLag), value: 0 });
  const deadTime = vary(kind.deadTime);
  const truth = 0.3 * (draw.next() - 0.5);
  const creep = kind.creep[0] * travel * (2 * draw.next() - 1);
  const creepLag = vary(kind.creep[1]);
  const start = 25 + 300 * draw.next();
  const [phase, roomPhase] = [2 * Math.PI * draw.next(), 2 * Math.PI * draw.next()];
  const gap = kind.gaps ? 200 + 900 * draw.next() : Number.POSITIVE_INFINITY;
  const [itemNoise, referenceNoise] = [
    noiseOf(generator.fork("item"), kind.noise),
    noiseOf(generator.fork("reference"), [kind.noise[0] / 4, kind.noise[1] / 4, kind.noise[2] / 4]),
  ];
  const columns = { times: [] as number[], reference: [] as number[], item: [] as number[] };
  const step = 0.5;
  // A plunged item was in the room, the reference in the source all the time.
  let reference = kind.source === "plunge" ? travel : 0;
  let next = kind.late;
  let before = 0;
  const cycle = (age: number): number => kind.cycling[0] * Math.sin((2 * Math.PI * age) / kind.cycling[1] + phase);
  for (let age = 0; columns.times.length < 3000 && age < 14_400; age += step) {
    const medium = travel * source(age) + cycle(age);
    reference += (medium - reference) * -Math.expm1(-step / referenceLag);
    const reached = age < deadTime ? 0 : travel * source(age - deadTime) + cycle(age - deadTime);
    let item = 0;
    for (const mode of itemModes) {
      mode.value += (reached - mode.value) * -Math.expm1(-step / mode.lag);
      item += mode.weight * mode.value;
    }
    if (age < next) continue;
    next = age + kind.interval * (1 + kind.jitter * (2 * draw.next() - 1));
    if (age > gap && age < gap + 90) continue;
    const room = kind.ambient * Math.sin((2 * Math.PI * age) / 3600 + roomPhase);
    const span = age - before;
    before = age;
    const shown = start + item + truth + room + creep * Math.exp(-age / creepLag) + itemNoise(span);
    columns.times.push(age);
    columns.reference.push(start + reference + referenceNoise(span));
    columns.item.push(kind.resolution > 0 ? Math.round(shown / kind.resolution) * kind.resolution : shown);
  }
  return { ...columns, truth, target: kind.target, resolution: kind.resolution, setPoint: start + travel };
};
