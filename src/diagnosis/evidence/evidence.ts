import type { Sensor } from "#thermometry";
import type { Matrix } from "../weigh/triangular.ts";

/** What was seen at one point. */
export interface PointEvidence {
  /** Index into the procedure's points. */
  readonly point: number;
  /** °C */
  readonly reference: number;
  readonly referenceSignal: number | null;
  /** In the item's unit. */
  readonly signal: number;
  /** Reference junction as it was read, °C; 0 where there is none to read. */
  readonly junction: number;
  /** Standard deviation of one paired difference, K; null where it is not known. */
  readonly scatter: number | null;
  /** Whether every reading was the same to its last digit; null where that is not known. */
  readonly still: boolean | null;
}

/** What was seen of one item, and what is known of it beforehand. */
export interface ItemEvidence {
  readonly item: string;
  readonly tag: string;
  readonly sensor: Sensor;
  readonly junction: "channel" | "ice-point" | null;
  /** Items with the same name here share one reference junction; null where there is none. */
  readonly junctionName: string | null;
  readonly points: readonly PointEvidence[];
  /** ± limits of an ordinary error of calibration at a temperature, K. */
  readonly ordinary: (temperature: number) => number;
  /** Standard deviation of the last digit and of what the readout adds at the least, in the item's unit. */
  readonly floor: number;
  /** Temperatures at which a further point may be asked for, °C. */
  readonly reach: { readonly lower: number; readonly upper: number };
}

/** What was seen of all items of a pass. */
export interface BenchEvidence {
  readonly items: readonly ItemEvidence[];
  /** Of the errors of all points, the items one after the other, K². */
  readonly covariance: Matrix;
  readonly referenceSensor: Sensor | null;
  /** °C */
  readonly ambient: number;
}
