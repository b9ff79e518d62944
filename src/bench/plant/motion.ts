import { seededGenerator } from "#numerics";
import type { BenchPlan, PlannedItem } from "./bench-plan.ts";
import { contactOf, type Contact } from "./contact.ts";
import { figureValue } from "./figure.ts";
import { firstOrder, followFirstOrder } from "./first-order.ts";
import { itemDisturbance, wellDifference, type HiddenTruth } from "./hidden-truth.ts";
import { realSensor } from "./item-response.ts";
import { flickerNoise, markovNoise, type StationaryNoise } from "./noise.ts";
import type { Places } from "./places.ts";
import { probeInWell, type Probe } from "./probe.ts";
import { heatSource, type HeatSource } from "./source.ts";

/** Internal step, s. All that moves is worked out on this grid, whenever anybody asks; a reading takes the latest tick. */
export const plantStep = 0.25;

/** A trim from a time on, absolute, K. */
export interface Trim {
  readonly from: number;
  readonly zero: number;
  readonly span: number;
}

export interface MovingItem {
  readonly item: PlannedItem;
  readonly real: PlannedItem["sensor"];
  readonly whiteSeed: number;
  readonly trims: Trim[];
  /** The contact of a switch; null for what is none. */
  readonly contact: Contact | null;
  /** Temperature that the item shows, damping included, °C; its own error not yet. */
  shown(): number;
  /** What `shown` would come to if medium and surroundings stayed as they are. */
  shownAtRest(): number;
}

/** The readout's noise on one channel. */
export interface ChannelNoise {
  readonly flicker: StationaryNoise;
  readonly whiteSeed: number;
}

export interface Motion {
  readonly source: HeatSource;
  readonly reference: Probe;
  readonly items: readonly MovingItem[];
  readonly noises: ReadonlyMap<string, ChannelNoise>;
  /** What the reference would come to if medium and surroundings stayed as they are, °C. */
  referenceAtRest(): number;
  /** True temperature of the reference junction of the thermocouples on the readout, °C. */
  junction(): number;
  tick(): number;
  /** Seconds on the run's clock at the latest tick. */
  now(): number;
  advanceTo(time: number): void;
}

/** A stated ±stability holds the cycling and so many standard deviations of the unsteadiness. */
const unsteadinessWithin = 2.5;

const roughnessOf = ({ source, kit, roughnessFromKit }: BenchPlan): ((temperature: number) => number) => {
  if (!roughnessFromKit) return () => 1;
  const largest = source.oscillation + unsteadinessWithin * source.unsteadiness;
  return (temperature) => (largest > 0 ? figureValue(kit.source.stability, temperature) / largest : 0);
};

/** Everything on the bench that moves with time, on one grid of ticks. */
export const benchMotion = (options: {
  readonly plan: BenchPlan;
  readonly truth: HiddenTruth;
  readonly channels: readonly string[];
  readonly ambient: number;
  readonly junction: { readonly above: number; readonly wander: number };
  readonly seed: number;
  readonly startAt: number;
  readonly places: Places;
}): Motion => {
  const { plan, truth, ambient, junction, places } = options;
  const { kit, start } = plan;
  const root = seededGenerator(options.seed);
  const whiteSeed = (label: string) => Math.floor(root.fork(label).next() * 4_294_967_296);
  let tick = Math.floor(options.startAt / plantStep + 1e-9);

  const source = heatSource({
    model: plan.source,
    ambient,
    ambientDrift: plan.ambientDrift,
    start,
    startTick: tick,
    step: plantStep,
    generator: root.fork("source"),
    controlError: (temperature) =>
      plan.controlOffset ??
      truth.source.control * (plan.source.controlOffset + plan.source.controlGain * Math.abs(temperature - ambient)),
    roughness: roughnessOf(plan),
  });
  const reference = probeInWell(plan.reference.probe, ambient, start, plantStep);
  const wander = markovNoise(root.fork("junction"), 600, plantStep);
  const noises = new Map(
    options.channels.map((channel) => [
      channel,
      {
        flicker: flickerNoise(root.fork(`flicker of ${channel}`), plantStep),
        whiteSeed: whiteSeed(`white of ${channel}`),
      },
    ]),
  );
  const creepLag = firstOrder(plan.wellCreep.lag, plantStep);
  let late = start;
  let medium = start;
  const steadyWell = () => {
    const well = medium + wellDifference(truth, kit, medium) + places.offset();
    return well - places.lost(well, source.ambient());
  };
  const parts = plan.items.map((item) => {
    const probe = probeInWell(item.probe, ambient, start, plantStep);
    const damp = firstOrder(item.damping, plantStep);
    let damped = start;
    const contact =
      item.contact === null ? null : contactOf(item.contact, start, plantStep, root.fork(`contact of ${item.channel}`));
    return {
      step: (well: number, surroundings: number) => {
        const before = probe.element();
        damped = followFirstOrder(damp, damped, before, probe.step(well, surroundings));
        contact?.step(damped + itemDisturbance(truth, item, damped));
      },
      moving: {
        item,
        contact,
        real: realSensor(item.sensor, item.deviation),
        whiteSeed: whiteSeed(`own noise of ${item.channel}`),
        trims: [{ from: Number.NEGATIVE_INFINITY, zero: 0, span: 0 }],
        shown: () => damped,
        shownAtRest: () => probe.atRest(steadyWell(), source.ambient()),
      },
    };
  });

  const step = () => {
    source.step();
    tick += 1;
    const before = medium;
    medium = source.medium();
    const surroundings = source.ambient();
    reference.step(medium, surroundings);
    late = followFirstOrder(creepLag, late, before, medium);
    const creep =
      truth.source.creep * plan.source.creep * source.insulationLag() + plan.wellCreep.share * (late - medium);
    const well = steadyWell() + creep;
    for (const part of parts) part.step(well, surroundings);
    wander.step();
    for (const noise of noises.values()) noise.flicker.step();
  };

  return {
    source,
    reference,
    items: parts.map(({ moving }) => moving),
    noises,
    referenceAtRest: () => reference.atRest(medium, source.ambient()),
    junction: () => source.ambient() + junction.above + junction.wander * wander.value(),
    tick: () => tick,
    now: () => tick * plantStep,
    advanceTo(time) {
      const target = Math.floor(time / plantStep + 1e-9);
      for (let left = target - tick; left > 0; left -= 1) step();
    },
  };
};
