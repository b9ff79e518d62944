import type { KnownPace } from "./pace.ts";
import type { PlainRules } from "./plain-rules.ts";

/** What is asked of one item's approach to one point. Times in seconds, differences in kelvin. */
export interface SettlingOptions {
  /** Largest expanded uncertainty that settling and noise together may leave in the difference, K. */
  readonly target: number;
  /** Shortest stretch of readings that a decision may rest on, s. */
  readonly minimumWindow: number;
  /** Longest stretch looked at, s. */
  readonly longestWindow: number;
  /** One digit of the item's indication in K; 0 where it is far below the noise. */
  readonly resolution: number;
  /** How far ahead a slow change must be excluded, s: the time constant of the slowest tail that is to be held. */
  readonly horizon: number;
  /** Where the source is sent, °C; without it nothing can be said about the time left while the source is on its way. */
  readonly setPoint?: number;
  /** How far the source was sent, K, where that is known: readings that begin on the way show only a part of it. */
  readonly sent?: number;
  /**
   * What will be reported: the mean of a window at one moment of a cycling source (so if nothing is said), or the estimate of
   * the steady difference, from which the cycle was taken out.
   */
  readonly reports?: "window" | "estimate";
  /** Rules of a written procedure, and whether they bind alone or together with our own judgement. */
  readonly rules?: PlainRules;
  readonly judgement?: Binding;
  /** What earlier approaches of this item on this source taught about the time left. */
  readonly known?: KnownPace;
}

/** What must hold for a point to be ready: our own judgement, the rules of a written procedure, or both. */
export const bindings = ["own", "rules", "both"] as const;
export type Binding = (typeof bindings)[number];

export const defaultSettling = { minimumWindow: 120, longestWindow: 600, resolution: 0, horizon: 300 } as const;
