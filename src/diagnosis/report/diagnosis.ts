import type { Pass } from "#calibration";
import type { FaultName } from "../hypotheses/fault-name.ts";

/** One thing that may be wrong. */
export interface Suspicion {
  readonly fault: FaultName;
  /** Which of several of its kind: "type J", "0 °C to 200 °C". Empty where there is one only. */
  readonly variant: string;
  /** What it is, as a clause: "type J is connected where type K is expected". */
  readonly words: string;
  /** Posterior probability, 0 to 1, and a plain word for it. */
  readonly probability: number;
  readonly sureness: Sureness;
  /** Most probable figures, in words of their own. */
  readonly figures: readonly { readonly name: string; readonly value: number; readonly unit: string }[];
  /** Errors of the points if it is so, K, in the order of `points`; null where there is none. */
  readonly errors: readonly (number | null)[];
  readonly check: string;
  /** What takes two minutes and would tell. */
  readonly test: string;
}

export type Sureness = "practically certain" | "very probable" | "probable" | "possible" | "unlikely";

/** The further point that tells the leading suspicions apart best. */
export interface TellingPoint {
  /** °C */
  readonly temperature: number;
  /** How far apart the two expect the error there, in standard deviations. */
  readonly separation: number;
  /** What each of the two expects, K. */
  readonly expected: readonly {
    readonly fault: FaultName;
    readonly variant: string;
    /** As in a suspicion. */
    readonly words: string;
    readonly error: number;
  }[];
}

export interface ItemDiagnosis {
  readonly item: string;
  readonly tag: string;
  readonly pass: Pass;
  /** `suspected`: probably something is wrong. `unclear`: it may be, and the points do not say. */
  readonly verdict: "nothing" | "unclear" | "suspected";
  /** Probability that nothing but an ordinary error of calibration is there. */
  readonly healthy: number;
  /** The points that were weighed. */
  readonly points: readonly number[];
  /** The likeliest first; those that cannot be told apart from the first by these points are `together` with it. */
  readonly suspicions: readonly Suspicion[];
  readonly together: number;
  readonly next: TellingPoint | null;
  /** All of it in sentences. */
  readonly sentence: string;
}
