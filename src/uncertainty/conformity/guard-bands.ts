import { failure, success, type Outcome } from "#fault";
import { findRoot } from "#numerics";
import { globalRisk, type GlobalRisk, type Prior } from "./global-risk.ts";
import { drawnIn, type Limits } from "./limits.ts";

export interface GuardBandForRisk extends GlobalRisk {
  /** By how much each limit moves inwards; 0 where the risk is kept without. */
  readonly guardBand: number;
  readonly acceptance: Limits;
}

/**
 * The narrowest guard band that keeps the consumer's global risk at or below `risk`, with the prior of the population (the
 * idea of method 5 of the handbook to ANSI/NCSL Z540.3, from memory). No band that leaves anything to accept: null.
 */
export const guardBandForGlobalRisk = (
  limits: Limits,
  u: number,
  prior: Prior,
  risk: number,
): Outcome<GuardBandForRisk | null> => {
  if (!(risk > 0 && risk < 1))
    return failure("uncertainty.invalid", "The limit of the global risk must lie between 0 and 1.", { risk });
  const plain = globalRisk(limits, limits, u, prior);
  if (!plain.ok) return plain;
  if (plain.value.consumer <= risk) return success({ guardBand: 0, acceptance: limits, ...plain.value });
  const { lower, upper } = limits;
  const widest =
    lower !== undefined && upper !== undefined
      ? (upper - lower) / 2
      : Math.abs(prior.mean - (lower ?? upper)!) + 20 * (u + prior.sd);
  const at = (w: number): Outcome<GlobalRisk> => globalRisk(limits, drawnIn(limits, w) ?? limits, u, prior);
  const excess = (w: number): number => {
    const found = at(w);
    return found.ok ? found.value.consumer - risk : Number.NaN;
  };
  const guardBand = findRoot(excess, 0, widest, { tolerance: 1e-12 * widest });
  const acceptance = guardBand === undefined ? undefined : drawnIn(limits, guardBand);
  if (guardBand === undefined || acceptance === undefined) return success(null);
  const found = at(guardBand);
  return found.ok ? success({ guardBand, acceptance, ...found.value }) : found;
};

const ratioFault = (ratio: number): { readonly ok: true; readonly value: number } | ReturnType<typeof failure> =>
  ratio > 0 && Number.isFinite(ratio)
    ? success(ratio)
    : failure("uncertainty.invalid", "The test uncertainty ratio, tolerance over U, must be a finite number above 0.", {
        ratio,
      });

/**
 * Acceptance limit over tolerance limit that keeps the consumer's global risk at 2 % or less whatever the reliability,
 * for a test uncertainty ratio: A/TL = 1 − M/TUR, M = max(0, 1.04 − exp(0.38·ln TUR − 0.54)) (method 6 of the handbook to
 * ANSI/NCSL Z540.3, from memory; its property is confirmed by computation in the tests).
 */
export const managedAcceptance = (ratio: number): Outcome<number> => {
  const sound = ratioFault(ratio);
  if (!sound.ok) return sound;
  const multiplier = Math.max(0, 1.04 - Math.exp(0.38 * Math.log(ratio) - 0.54));
  return success(Math.max(0, 1 - multiplier / ratio));
};

/**
 * Acceptance limit over tolerance limit by the root of the difference of squares, √(1 − 1/TUR²) (common practice, no
 * source); 0 where U exceeds the tolerance.
 */
export const differenceOfSquaresAcceptance = (ratio: number): Outcome<number> => {
  const sound = ratioFault(ratio);
  return sound.ok ? success(Math.sqrt(Math.max(0, 1 - 1 / (ratio * ratio)))) : sound;
};
