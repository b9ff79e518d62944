import { probeLags, type SourceClass } from "#bench";
import type { JobInput } from "#calibration";

type ItemInput = JobInput["items"][number];

/** An item of the standard cells. Invented but plausible figures (common practice, no source). */
export interface ItemModel {
  readonly title: string;
  readonly unit: ItemInput["unit"];
  sensor(source: SourceClass): ItemInput["sensor"];
  /** Lags of element and sheath, s. */
  lags(source: SourceClass): readonly [number, number];
  /** Noise of one reading that is the item's own, standard deviation, K. */
  readonly noise: number;
  readonly damping: number;
  /** Tolerance: ±(fixed + share·t), at least `least`, K. */
  readonly tolerance: { readonly fixed: number; readonly share: number; readonly least: number };
  /** Limits of what belongs to the item itself, K; stem loss and ambient effect come on top, from the physics. */
  readonly contributions: Readonly<Record<string, number>>;
  readonly coldJunction?: ItemInput["coldJunction"];
}

const platinum: ItemInput["sensor"] = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
};

const loopUpper: Readonly<Record<SourceClass, number>> = { bath: 200, "dry-block": 450, furnace: 700 };

export const rehearsalItems = {
  thermocouple: {
    title: "thin thermocouple",
    unit: "mV",
    sensor: () => ({ kind: "thermocouple", type: "K" }),
    lags: (source) => probeLags[source].thermocouple,
    noise: 0.02,
    damping: 0,
    tolerance: { fixed: 0, share: 0.004, least: 1.5 },
    contributions: { inhomogeneity: 0.15 },
    coldJunction: { kind: "channel", channel: "junction", halfWidth: 0.1 },
  },
  pt100: {
    title: "6 mm Pt100",
    unit: "Ω",
    sensor: () => platinum,
    lags: (source) => probeLags[source].platinum,
    noise: 0.003,
    damping: 0,
    tolerance: { fixed: 0.15, share: 0.002, least: 0 },
    contributions: { selfHeating: 0.005, hysteresis: 0.005 },
  },
  transmitter: {
    title: "Pt100 with transmitter",
    unit: "mA",
    sensor: (source) => ({ kind: "loop", lower: 0, upper: loopUpper[source], current: [4, 20] }),
    lags: (source) => probeLags[source].loop,
    noise: 0.008,
    damping: 1,
    tolerance: { fixed: 0.3, share: 0.003, least: 0 },
    contributions: { loopSupply: 0.01, hysteresis: 0.01 },
  },
  thermowell: {
    title: "thick thermowell",
    unit: "Ω",
    sensor: () => platinum,
    lags: (source) => [2.2 * probeLags[source].loop[0], 2 * probeLags[source].loop[1]],
    noise: 0.005,
    damping: 0,
    tolerance: { fixed: 0.3, share: 0.005, least: 0 },
    contributions: { selfHeating: 0.005, hysteresis: 0.01 },
  },
} as const satisfies Readonly<Record<string, ItemModel>>;

export type RehearsalItem = keyof typeof rehearsalItems;

export const toleranceOf = ({ tolerance }: ItemModel, temperature: number): number =>
  Math.max(tolerance.least, tolerance.fixed + tolerance.share * temperature);
