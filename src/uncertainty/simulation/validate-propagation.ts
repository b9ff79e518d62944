import { numericalTolerance } from "./numerical-tolerance.ts";
import type { Simulated } from "./simulation-run.ts";

/** Whether the law of propagation holds, by JCGM 101:2008, clause 8. */
export interface PropagationCheck {
  /** δ of the u by propagation, two significant digits. */
  readonly delta: number;
  /** y − U and y + U by propagation. */
  readonly interval: readonly [number, number];
  /** Ends by propagation minus ends by Monte Carlo: above 0 below means that the stated interval begins too late. */
  readonly differences: readonly [number, number];
  /** Absolute differences of the lower and the upper ends (8.1.3). */
  readonly dLow: number;
  readonly dHigh: number;
  /** Standard deviation of the two ends by Monte Carlo: what chance makes of this many trials. */
  readonly endDeviations: readonly [number, number];
  /**
   * `agrees`: both differences are within δ, and so many trials were made that chance would not have hidden more than δ.
   * `disagrees`: a difference exceeds δ by more than chance makes of it. `open`: more trials are needed to tell.
   */
  readonly agreement: "agrees" | "disagrees" | "open";
}

/**
 * Compares the interval y ± U by propagation with the probabilistically symmetric one by Monte Carlo (JCGM 101:2008, 8.1).
 * The clause wants the ends of the latter known to a fraction of δ (8.2); where they are not, the answer is `open` unless the
 * difference is beyond doubt (two standard deviations of the end).
 */
export const validatePropagation = (
  { value, u, U }: { readonly value: number; readonly u: number; readonly U: number },
  { interval: trials, endDeviations }: Pick<Simulated, "interval" | "endDeviations">,
): PropagationCheck => {
  const delta = numericalTolerance(u);
  const interval = [value - U, value + U] as const;
  const differences = [interval[0] - trials[0], interval[1] - trials[1]] as const;
  const [dLow, dHigh] = [Math.abs(differences[0]), Math.abs(differences[1])];
  const beyond = [dLow, dHigh].some((difference, end) => difference > delta + 2 * endDeviations[end]!);
  const known = [dLow, dHigh].every((difference, end) => difference <= delta && 2 * endDeviations[end]! <= delta);
  const agreement = beyond ? "disagrees" : known ? "agrees" : "open";
  return { delta, interval, differences, dLow, dHigh, endDeviations, agreement };
};
