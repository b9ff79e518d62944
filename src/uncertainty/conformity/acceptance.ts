import { failure, success, type Outcome } from "#fault";
import { findRoot, studentQuantile } from "#numerics";
import { conformanceProbability } from "./conformance-probability.ts";
import { drawnIn, limitsFault, type Limits } from "./limits.ts";

/**
 * The acceptance interval: each limit of the tolerance moved inwards by the guard band `w` (JCGM 106:2012, 8.3; ILAC-G8
 * :09/2019, 4.2). w = 0 is simple acceptance, w below 0 widens. Null when nothing is left to accept.
 */
export const acceptanceLimits = (limits: Limits, w: number): Outcome<Limits | null> => {
  const fault = limitsFault(limits);
  if (fault !== undefined) return fault;
  if (!Number.isFinite(w)) return failure("uncertainty.invalid", "The guard band must be a finite number.");
  return success(drawnIn(limits, w) ?? null);
};

/**
 * The widest acceptance interval within which the specific risk, 1 − p_c, is nowhere above `risk` (JCGM 106:2012, 8.3.2.4 for
 * one limit: w = z_(1−p)·u; for two limits both tails count, so each limit moves by a little more where the tolerance is
 * narrow). `risk` above 0, 0.5 at most; null where even the middle of the tolerance has a higher risk.
 */
export const acceptanceForRisk = (
  limits: Limits,
  u: number,
  risk: number,
  dof = Number.POSITIVE_INFINITY,
): Outcome<Limits | null> => {
  if (!(risk > 0 && risk <= 0.5))
    return failure("uncertainty.invalid", "The limit of the specific risk must lie above 0 and be 0.5 at most.", {
      risk,
    });
  const { lower, upper } = limits;
  // Checks limits, u and degrees of freedom along the way.
  const checked = conformanceProbability(lower ?? upper ?? 0, u, limits, dof);
  if (!checked.ok) return checked;
  const w = u * studentQuantile(1 - risk, dof);
  if (!Number.isFinite(w)) return failure("uncertainty.invalid", "The guard band is too large for a number.");
  if (lower === undefined || upper === undefined || u === 0) return success(drawnIn(limits, w) ?? null);
  const middle = lower + (upper - lower) / 2;
  const excess = (value: number): number => {
    const probability = conformanceProbability(value, u, limits, dof);
    return probability.ok ? 1 - probability.value - risk : Number.NaN;
  };
  if (excess(middle) > 0) return success(null);
  // p_c falls from the middle to the limit, where one tail alone makes the risk 0.5 or more.
  const edge = excess(upper) <= 0 ? upper : findRoot(excess, middle, upper);
  if (edge === undefined || !Number.isFinite(edge)) return success(null);
  return success(drawnIn(limits, upper - edge) ?? null);
};
