import { createPlant, simulationSchema, type PlantOptions, type SimulationInput } from "#bench";
import { describe, expect, it } from "vitest";
import { approachTruth, type TruthOptions } from "./approach-truth.ts";

const channels = {
  reference: { instrument: "readout", input: 1, unit: "Ω" },
  "item-1": { instrument: "readout", input: 2, unit: "Ω" },
} as const;

const plantOf = (simulation: SimulationInput): PlantOptions => ({
  simulation: simulationSchema.parse({ hidden: "none", ...simulation }),
  channels,
  sources: [],
  seed: 3,
  startAt: 0,
});

/** A source that hardly overshoots and does not cycle, a reference without lag, an item with one lag. */
const quiet = (item: NonNullable<SimulationInput["items"]>[string], more: SimulationInput = {}): SimulationInput => ({
  source: { class: "bath", oscillation: 0, unsteadiness: 0, controlOffset: 0, ...more.source },
  reference: { lags: [0, 0] },
  items: { "item-1": { noise: 0, deviation: { kelvin: [0.3] }, ...item } },
});

const ask = (simulation: SimulationInput, change: Partial<TruthOptions> = {}) =>
  approachTruth({
    plant: plantOf(simulation),
    deeds: [
      { kind: "set-point", at: 10, temperature: 60 },
      { kind: "output", at: 10, on: true },
    ],
    questions: [{ item: "item-1", target: 0.05, window: { from: 1800, to: 1838 } }],
    shortestWindow: 120,
    readingTime: 38,
    band: 0.3,
    ...change,
  })[0]!;

/** The definition again, in the slowest way, from a plant that is read at every step through its own sensors' elements. */
const oracleAgain = (simulation: SimulationInput, target: number, width: number): number => {
  const plant = createPlant({ ...plantOf(simulation), noiseless: true });
  plant.advanceTo(10);
  plant.setPoint(60);
  plant.switchOutput(true);
  const missing: number[] = [];
  for (let at = 14; at <= 10 + 5400; at += 4) {
    plant.advanceTo(at);
    const { now, atRest } = plant.undisturbed("item-1")!;
    missing.push(now - atRest);
  }
  const means = missing.map((_, index) =>
    index + 1 < width
      ? Number.POSITIVE_INFINITY
      : missing.slice(index + 1 - width, index + 1).reduce((sum, value) => sum + value, 0) / width,
  );
  const last = means.findLastIndex((mean) => Math.abs(mean) > target);
  return (last + 2) * 4;
};

describe("the twin of the bench", () => {
  it.each([20, 60, 150])("finds the oracle of an item with a lag of %i s as its definition says", (lag) => {
    const simulation = quiet({ lags: [lag, 0] });
    expect(ask(simulation).oracle).toBe(oracleAgain(simulation, 0.05, 30));
  });

  it("an item that lags by τ comes to rest τ·ln 2 later for half the target", () => {
    const simulation = quiet({ lags: [150, 0] });
    const target = (kelvin: number) =>
      ask(simulation, { questions: [{ item: "item-1", target: kelvin, window: { from: 1800, to: 1838 } }] }).oracle!;
    // One exponential decay at the end; looked at every 4 s.
    expect(target(0.05) - target(0.1)).toBeGreaterThan(150 * Math.LN2 - 5);
    expect(target(0.05) - target(0.1)).toBeLessThan(150 * Math.LN2 + 5);
  });

  it("who knows the future waits less than who must look back over a window", () => {
    const { oracle, foresight } = ask(quiet({ lags: [60, 0] }));
    expect(foresight!).toBeLessThan(oracle!);
    expect(foresight!).toBeGreaterThan(60);
  });

  it("what is missing late is nothing, and the steady difference is the item's error and its stem loss", () => {
    const { steady, missing, truth } = ask(quiet({ lags: [30, 5], stemLoss: 0.01 }));
    expect(Math.abs(missing)).toBeLessThan(1e-3);
    expect(truth).toBeCloseTo(0.3, 9);
    // Stem loss of 1 % of the 37 K above the surroundings.
    expect(steady).toBeCloseTo(0.3 - 0.37, 3);
  });

  it("a soak begins when the source's display has arrived, and leaves a loose fit unfinished", () => {
    const tight = ask(quiet({ lags: [10, 2] }));
    const loose = ask(quiet({ lags: [10, 2], looseFit: { share: 0.05, lag: 600 } }));
    expect(tight.soaks[20]!.wait - tight.soaks[10]!.wait).toBe(600);
    expect(tight.soaks[10]!.wait).toBeGreaterThan(600);
    expect(Math.abs(tight.soaks[10]!.missing)).toBeLessThan(0.002);
    // 5 % of 37 K, decaying with 600 s: about 0.6 K after 10 minutes, 0.2 K after 20.
    expect(Math.abs(loose.soaks[10]!.missing)).toBeGreaterThan(0.3);
    expect(Math.abs(loose.soaks[20]!.missing)).toBeGreaterThan(0.1);
    expect(loose.oracle!).toBeGreaterThan(tight.oracle! + 600);
  });

  it("what never comes within the target has no oracle, and the looking ends", () => {
    const cycling = quiet({ lags: [300, 0] }, { source: { oscillation: 3, period: 1200 } });
    expect(ask(cycling)).toMatchObject({ oracle: null, foresight: null });
  });

  it("follows a trim that was made before the approach", () => {
    const loop: SimulationInput = {
      ...quiet({}),
      items: {
        "item-1": { sensor: { kind: "loop", lower: 0, upper: 150 }, noise: 0, deviation: { zero: 0.5, span: 0 } },
      },
    };
    const deeds = [
      { kind: "trim", at: 5, item: "item-1", zero: -0.4, span: 0 },
      { kind: "set-point", at: 10, temperature: 60 },
      { kind: "output", at: 10, on: true },
    ] as const;
    expect(ask(loop, { deeds }).truth).toBeCloseTo(0.1, 9);
  });
});
