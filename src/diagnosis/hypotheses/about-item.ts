import type { Sensor } from "#thermometry";

/** What is known of an item before its points are looked at. */
export interface AboutItem {
  readonly sensor: Sensor;
  /** How the job says that the reference junction is known; null for other items than thermocouples. */
  readonly junction: "channel" | "ice-point" | null;
  /** ± limit of an ordinary error in the middle of the points, K. */
  readonly ordinary: number;
}
