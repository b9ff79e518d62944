import { seededGenerator, type Generator } from "#numerics";
import { signalUnits, type SignalUnit } from "#quantity";
import { figureValue } from "./figure.ts";
import type { StatedAccuracy, StatedItem, StatedKit } from "./stated-kit.ts";

/**
 * What is really off about the kit and nobody on the bench knows: drawn once for a visit from what the kit states, so
 * that a budget made of the same statements can be put to the test. Kept as shares of the stated figures:
 * - a stated expanded uncertainty U with k: normal with standard deviation U/k. Its course over temperature is a slow
 *   turn between two independent draws, so that every temperature has the stated spread and neighbours agree;
 * - a stated limit ±a: a share uniform in −1 … +1 of the figure at each temperature (GUM 4.3.7);
 * - the readout: gain and offset of each function apart, each uniform within its part of the accuracy.
 */
export interface HiddenTruth {
  readonly reference: {
    readonly calibration: readonly [number, number];
    readonly drift: number;
    readonly interpolation: number;
    readonly selfHeating: number;
  };
  readonly readout: Readonly<Record<SignalUnit, { readonly gain: number; readonly offset: number }>>;
  readonly source: {
    readonly axial: number;
    readonly radial: number;
    readonly loading: number;
    readonly control: number;
    readonly creep: number;
  };
  /** By the item's channel: the junction, then whatever the item's contributions name. */
  readonly items: Readonly<
    Record<string, { readonly junction: number; readonly contributions: Readonly<Record<string, number>> }>
  >;
}

const within = (generator: Generator) => 2 * generator.next() - 1;

/** The hidden truth of one visit. Each share has a stream of its own: adding an item moves no other figure. */
export const drawTruth = (
  items: readonly Pick<StatedItem, "channel" | "contributions">[],
  seed: number,
): HiddenTruth => {
  const root = seededGenerator(seed).fork("hidden truth");
  const share = (label: string) => within(root.fork(label));
  const readout = Object.fromEntries(
    signalUnits.map((unit) => [unit, { gain: share(`readout ${unit} gain`), offset: share(`readout ${unit} offset`) }]),
  ) as Record<SignalUnit, { gain: number; offset: number }>;
  return {
    reference: {
      calibration: [root.fork("reference calibration 0").normal(), root.fork("reference calibration 1").normal()],
      drift: share("reference drift"),
      interpolation: share("reference interpolation"),
      selfHeating: share("reference self-heating"),
    },
    readout,
    source: {
      axial: share("source axial"),
      radial: share("source radial"),
      loading: share("source loading"),
      control: share("source control"),
      creep: share("source creep"),
    },
    items: Object.fromEntries(
      items.map(({ channel, contributions }) => [
        channel,
        {
          junction: share(`item ${channel} junction`),
          contributions: Object.fromEntries(
            Object.keys(contributions).map((name) => [name, share(`item ${channel} ${name}`)]),
          ),
        },
      ]),
    ),
  };
};

/** A kit that is exactly what it says. */
export const noTruth = (items: readonly Pick<StatedItem, "channel">[]): HiddenTruth => ({
  reference: { calibration: [0, 0], drift: 0, interpolation: 0, selfHeating: 0 },
  readout: {
    Ω: { gain: 0, offset: 0 },
    mV: { gain: 0, offset: 0 },
    mA: { gain: 0, offset: 0 },
    "°C": { gain: 0, offset: 0 },
  },
  source: { axial: 0, radial: 0, loading: 0, control: 0, creep: 0 },
  items: Object.fromEntries(items.map(({ channel }) => [channel, { junction: 0, contributions: {} }])),
});

/**
 * By how much the reference indicates too high at a temperature, K: calibration, drift since, interpolation, self-heating.
 * `years`: since its calibration.
 */
export const referenceError = (
  truth: HiddenTruth,
  { reference, source }: StatedKit,
  years: number,
  temperature: number,
): number => {
  const { calibration, drift, interpolation, selfHeating } = truth.reference;
  const { minimum, maximum } = source.range;
  const turn = (Math.PI / 2) * Math.min(1, Math.max(0, (temperature - minimum) / (maximum - minimum)));
  const standard = figureValue(reference.calibration.uncertainty ?? 0, temperature) / reference.calibration.k;
  return (
    standard * (calibration[0] * Math.cos(turn) + calibration[1] * Math.sin(turn)) +
    drift * reference.driftPerYear * years +
    interpolation * figureValue(reference.interpolation, temperature) +
    selfHeating * figureValue(reference.selfHeating, temperature)
  );
};

/** By how much the item's well is warmer than the reference's in the steady state, K. */
export const wellDifference = (truth: HiddenTruth, { source }: StatedKit, temperature: number): number =>
  truth.source.axial * figureValue(source.axial, temperature) +
  truth.source.radial * figureValue(source.radial, temperature) +
  truth.source.loading * figureValue(source.loading, temperature);

/** By how much installation and condition of an item shift its indication at a temperature, K; no part of its error. */
export const itemDisturbance = (
  truth: HiddenTruth,
  item: Pick<StatedItem, "channel" | "contributions">,
  temperature: number,
): number => {
  const shares = truth.items[item.channel]?.contributions ?? {};
  let sum = 0;
  for (const [name, figure] of Object.entries(item.contributions)) {
    if (figure !== undefined) sum += (shares[name] ?? 0) * figureValue(figure, temperature);
  }
  return sum;
};

/** The row of an accuracy table that holds for a value; the one with the largest range when none reaches so far. */
export const accuracyRow = (
  rows: readonly StatedAccuracy[],
  unit: SignalUnit,
  value: number,
): StatedAccuracy | null => {
  let best: StatedAccuracy | null = null;
  for (const row of rows) {
    if (row.unit !== unit) continue;
    const reach = row.upTo ?? Number.POSITIVE_INFINITY;
    const bestReach = best === null ? null : (best.upTo ?? Number.POSITIVE_INFINITY);
    const covers = Math.abs(value) <= reach;
    const bestCovers = bestReach !== null && Math.abs(value) <= bestReach;
    if (
      bestReach === null ||
      (covers && !bestCovers) ||
      (covers === bestCovers && (covers ? reach < bestReach : reach > bestReach))
    ) {
      best = row;
    }
  }
  return best;
};

/** By how much the readout reads a value too high, in the unit of the value. */
export const readoutError = (
  truth: HiddenTruth,
  rows: readonly StatedAccuracy[],
  unit: SignalUnit,
  value: number,
): number => {
  const row = accuracyRow(rows, unit, value);
  if (row === null) return 0;
  const { gain, offset } = truth.readout[unit];
  return (gain * row.percentOfReading * Math.abs(value)) / 100 + offset * row.absolute;
};
