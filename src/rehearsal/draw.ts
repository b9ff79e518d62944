import { probeLags, sourceModels, type SimulationInput, type SourceClass } from "#bench";
import { seededGenerator, type Generator } from "#numerics";
import type { Physics } from "./physics.ts";

const even = (generator: Generator, [low, high]: readonly [number, number]): number =>
  low + (high - low) * generator.next();

const logEven = (generator: Generator, [low, high]: readonly [number, number]): number =>
  low * Math.exp(Math.log(high / low) * generator.next());

/** What chance has made of one run: each figure from a stream of its own, so that one more moves no other. */
export interface Chance {
  readonly ambient: number;
  readonly ambientDrift: number;
  readonly start: number;
  readonly falling: boolean;
  readonly capacity: number;
  readonly heating: number;
  readonly referenceLag: number;
  readonly itemLag: number;
  readonly itemNoise: number;
  /** Two standard normal draws: the item's error at both ends of its range. */
  readonly itemError: readonly [number, number];
  readonly stemLoss: number;
  readonly ambientEffect: number;
  readonly wellCreep: { readonly share: number; readonly lag: number } | null;
}

export const drawChance = (physics: Physics, seed: number): Chance => {
  const root = seededGenerator(seed).fork("rehearsal");
  const own = (label: string) => root.fork(label);
  return {
    ambient: even(own("ambient"), physics.ambient),
    ambientDrift: even(own("ambient drift"), physics.ambientDrift),
    start: even(own("start"), physics.start),
    falling: own("falling").next() < physics.fallingShare,
    capacity: logEven(own("capacity"), physics.capacity),
    heating: logEven(own("heating"), physics.heating),
    referenceLag: logEven(own("reference lag"), physics.referenceLag),
    itemLag: logEven(own("item lag"), physics.itemLag),
    itemNoise: logEven(own("item noise"), physics.itemNoise),
    itemError: [own("item error, lower").normal(), own("item error, upper").normal()],
    stemLoss: even(own("stem loss"), physics.stemLoss),
    ambientEffect: even(own("ambient effect"), physics.ambientEffect),
    wellCreep:
      physics.wellCreep === null
        ? null
        : {
            share: even(own("creep share"), physics.wellCreep.share),
            lag: even(own("creep lag"), physics.wellCreep.lag),
          },
  };
};

type Lags = readonly [number, number];

/** Lags of a probe times a factor, s. */
export const scaledLags = ([element, sheath]: Lags, by: number): [number, number] => [element * by, sheath * by];

/** The parts of a simulation that chance has a hand in and that do not depend on the items. `first`: the first set point. */
export const drawnBench = (
  chance: Chance,
  physics: Physics,
  source: SourceClass,
  first: number,
): {
  readonly ambient: number;
  readonly ambientDrift: number;
  readonly source: NonNullable<SimulationInput["source"]>;
} => {
  const model = sourceModels[source];
  return {
    ambient: chance.ambient,
    ambientDrift: chance.ambientDrift,
    source: {
      start: chance.ambient + chance.start * (first - chance.ambient),
      heating: model.heating * chance.heating,
      blockCapacity: model.masses.blockCapacity * chance.capacity,
      ...(chance.wellCreep === null ? {} : { wellCreep: chance.wellCreep }),
      ...(physics.cycling === null ? {} : { oscillation: physics.cycling.amplitude, period: physics.cycling.period }),
    },
  };
};

export const referenceLagsIn = (source: SourceClass): Lags => probeLags[source].reference;
