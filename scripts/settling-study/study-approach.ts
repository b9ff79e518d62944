import { seededGenerator } from "#numerics";
import { markovNoise } from "../../src/bench/plant/noise.ts";
import { probeInWell } from "../../src/bench/plant/probe.ts";
import { heatSource } from "../../src/bench/plant/source.ts";
import { probeLags, sourceModels, type SourceClass } from "../../src/bench/plant/source-classes.ts";

/** A recorded approach of three hours at one reading in two seconds, and what nobody at the bench knows. */
export interface StudyApproach {
  readonly times: readonly number[];
  readonly reference: readonly number[];
  readonly item: readonly number[];
  /** Steady difference item − reference, K. */
  readonly truth: number;
  readonly target: number;
  readonly resolution: number;
  readonly setPoint: number;
}

/** What a cell of the study changes about the plain case. */
export interface Stress {
  /** Share of the item's response that comes late, and its extra lag, s. */
  readonly loose?: { readonly share: number; readonly lag: number };
  /** Cycling of the source in place of its own, K and s. */
  readonly cycling?: { readonly amplitude: number; readonly period: number };
  /** Target as a fraction of the tolerance; a fifth if absent. */
  readonly fraction?: number;
  /** Digit of the item's display, K. */
  readonly resolution?: number;
  /** The same source and probes once more, at another start and set point. */
  readonly visit?: number;
}

interface ItemModel {
  readonly lags: (source: SourceClass) => readonly [number, number];
  /** Noise of one reading, K. */
  readonly noise: number;
  readonly tolerance: (temperature: number) => number;
  readonly resolution: number;
}

/** Invented but plausible items (common practice, no source). */
export const studyItems = {
  "thin thermocouple": {
    lags: (source) => probeLags[source].thermocouple as readonly [number, number],
    noise: 0.02,
    tolerance: (t) => Math.max(1.5, 0.004 * t),
    resolution: 0,
  },
  "6 mm Pt100": {
    lags: (source) => probeLags[source].platinum as readonly [number, number],
    noise: 0.003,
    tolerance: (t) => 0.15 + 0.002 * t,
    resolution: 0,
  },
  "Pt100 with transmitter": {
    lags: (source) => probeLags[source].loop as readonly [number, number],
    noise: 0.008,
    tolerance: (t) => 0.3 + 0.003 * t,
    resolution: 0.01,
  },
  "thick thermowell": {
    lags: (source) => [2.2 * probeLags[source].loop[0], 2 * probeLags[source].loop[1]],
    noise: 0.005,
    tolerance: (t) => 0.3 + 0.005 * t,
    resolution: 0,
  },
} as const satisfies Record<string, ItemModel>;
export type StudyItem = keyof typeof studyItems;

const ranges: Readonly<Record<SourceClass, { readonly low: number; readonly high: number; readonly start: number }>> = {
  bath: { low: 40, high: 160, start: 22 },
  "dry-block": { low: 80, high: 400, start: 22 },
  furnace: { low: 400, high: 800, start: 300 },
};

const step = 0.5;
const readEvery = 4;
const duration = 10_800;
const ambient = 22;
const stemLoss = 0.0005;

/** One approach on the simulated bench's own physics, without its wire. Everything from the seed. */
export const studyApproach = (
  source: SourceClass,
  kind: StudyItem,
  seed: number,
  stress: Stress = {},
): StudyApproach => {
  const generator = seededGenerator(seed).fork(`${source} ${kind}`);
  const draw = generator.fork("draws");
  const model: ItemModel = studyItems[kind];
  const { low, high, start: coldest } = ranges[source];
  const start = coldest + (low - coldest) * 0.6 * draw.next();
  const first = low + (high - low) * draw.next();
  const again = generator.fork(`visit ${stress.visit ?? 0}`);
  const setPoint = (stress.visit ?? 0) === 0 ? first : low + (high - low) * again.next();
  const cycling =
    stress.cycling === undefined ? {} : { oscillation: stress.cycling.amplitude, period: stress.cycling.period };
  const plant = { ...sourceModels[source], ...cycling };
  const heat = heatSource({
    model: plant,
    ambient,
    start,
    startTick: 0,
    step,
    generator: generator.fork("source"),
    controlError: () => 0,
    roughness: () => 1,
  });
  const spread = 0.7 + 0.6 * draw.next();
  const [referenceLag, referenceSheath] = probeLags[source].reference as readonly [number, number];
  const reference = probeInWell(
    { lags: [referenceLag * (0.8 + 0.4 * draw.next()), referenceSheath], stemLoss: 0 },
    ambient,
    start,
    step,
  );
  const [lag, sheath] = model.lags(source);
  const item = probeInWell(
    { lags: [lag * spread, sheath * spread], stemLoss, looseFit: stress.loose },
    ambient,
    start,
    step,
  );
  const error = 0.2 * (draw.next() - 0.5);
  const creep = plant.creep * (2 * draw.next() - 1);
  const white = (stress.visit ?? 0) === 0 ? generator.fork("white") : again.fork("white");
  const slow = markovNoise(generator.fork("slow"), 30, step);
  const slowReference = markovNoise(generator.fork("slow reference"), 30, step);
  const resolution = stress.resolution ?? model.resolution;
  const columns = { times: [] as number[], reference: [] as number[], item: [] as number[] };
  heat.setPoint(setPoint);
  heat.switchOutput(true);
  for (let tick = 1; tick <= duration / step; tick += 1) {
    heat.step();
    const medium = heat.medium();
    const referenceNow = reference.step(medium);
    const itemNow = item.step(medium + creep * heat.insulationLag());
    const [wander, wanderReference] = [slow.step(), slowReference.step()];
    if (tick % readEvery !== 0) continue;
    const shown = itemNow + error + model.noise * (white.normal() + 0.3 * wander);
    columns.times.push(tick * step);
    columns.reference.push(referenceNow + 0.001 * white.normal() + 0.0005 * wanderReference);
    columns.item.push(resolution > 0 ? Math.round(shown / resolution) * resolution : shown);
  }
  const truth = error - stemLoss * (setPoint - ambient);
  return { ...columns, truth, target: (stress.fraction ?? 0.2) * model.tolerance(setPoint), resolution, setPoint };
};
