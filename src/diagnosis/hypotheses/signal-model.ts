import type { FaultName } from "./fault-name.ts";

/** Where and beside what a signal was taken. */
export interface Place {
  /** Which of the items that are weighed together, counted from 0. */
  readonly owner: number;
  /** The source by the reference, °C. */
  readonly reference: number;
  /** Signal of the reference, in its own unit; null where it is not known. */
  readonly referenceSignal: number | null;
  /** Reference junction as it was read, °C; 0 for an ice point. */
  readonly junction: number;
  /** °C */
  readonly ambient: number;
  /** Added to the temperature of the item's element, K: only for working out slopes. */
  readonly offset: number;
}

/** A figure of a hypothesis that is not known; its prior is a standard normal in z. */
export interface Parameter {
  readonly name: string;
  readonly unit: "K" | "Ω" | "kΩ" | "mA" | "mV" | "%" | "°C" | "";
  value(z: number): number;
}

/** How the item's own ordinary error is spread about what the hypothesis says. */
export interface Spread {
  /** In units of the ordinary error. */
  readonly scale: number;
  /** Wild: no shape is preferred, each point may go its own way. */
  readonly wild: boolean;
}

/** A hypothesis: what signal would be there if it were so. */
export interface SignalModel {
  readonly fault: FaultName;
  /** Which of several of its kind, in words that stand in a sentence: "type J". Empty where there is one only. */
  readonly variant: string;
  /** Prior probability; all of an item's together are brought to 1. */
  readonly weight: number;
  readonly parameters: readonly Parameter[];
  /** Signal in the item's unit; NaN where this could give none. */
  predict(place: Place, values: readonly number[]): number;
  /** Usual where nothing is said. */
  readonly spread?: Spread;
  /** Further scatter of the signal itself, standard deviation in its unit. */
  readonly slack?: number;
  /** The item's readings would scatter far more than they should. */
  readonly noisy?: boolean;
}

export const normal = (name: string, unit: Parameter["unit"], mean: number, sd: number): Parameter => ({
  name,
  unit,
  value: (z) => mean + sd * z,
});

/** Positive, its logarithm normal; `factor` is what one standard deviation multiplies by. */
export const logNormal = (name: string, unit: Parameter["unit"], median: number, factor: number): Parameter => ({
  name,
  unit,
  value: (z) => median * factor ** z,
});
