import type { SettlingState } from "#settling";

/** The closing check of the reference at the ice point or beside a second thermometer, as far as it has come. */
export interface CheckState {
  /** °C. */
  readonly temperature: number;
  readonly begunAt: number;
  /** When somebody said that the reference is where it is to be checked; null before. */
  readonly placedAt: number | null;
  readonly settling: SettlingState;
  /** When it was held to be steady. */
  readonly settledAt: number | null;
  readonly count: number;
  readonly first: number | null;
  readonly last: number | null;
  readonly measured: boolean;
  readonly failed: boolean;
}
