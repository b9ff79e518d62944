import { failure, success, type FaultValue, type Outcome } from "#fault";
import { studentCdf } from "#numerics";

/** A tolerance or acceptance interval; a side that is absent is not limited (JCGM 106:2012, 3.3.4 and 3.3.9). */
export interface Limits {
  readonly lower?: number;
  readonly upper?: number;
}

export type Verdict = "pass" | "fail" | "undecided";

export interface Judged {
  readonly decision: Verdict;
  /** Probability that the true value lies within the tolerance, given this measurement alone. */
  readonly conformanceProbability: number;
  /** Null where the guard bands leave nothing to accept. */
  readonly acceptance: Limits | null;
  /** Probability that the decision is wrong for this very item; null where there is none. */
  readonly specificRisk: number | null;
}

/**
 * A value at a limit belongs to the interval. Decimal figures are not exact in binary, so a value that is beyond the
 * limit by no more than 1e-9 of their size is at the limit.
 */
const within = (value: number, { lower, upper }: Limits): boolean => {
  const slack = (limit: number): number => 1e-9 * Math.max(Math.abs(limit), Math.abs(value));
  return (
    (lower === undefined || value >= lower - slack(lower)) && (upper === undefined || value <= upper + slack(upper))
  );
};

interface Failed {
  readonly ok: false;
  readonly fault: FaultValue;
}

const limitsFault = (limits: Limits): Failed | undefined => {
  const { lower, upper } = limits;
  if (lower === undefined && upper === undefined)
    return failure("uncertainty.invalid", "A decision needs a lower limit, an upper limit or both.");
  if ([lower, upper].some((limit) => limit !== undefined && !Number.isFinite(limit))) {
    return failure("uncertainty.invalid", "A limit must be a finite number; leave out the side that is not limited.");
  }
  if (lower !== undefined && upper !== undefined && lower > upper) {
    return failure("uncertainty.invalid", `The lower limit ${lower} is above the upper limit ${upper}.`, {
      lower,
      upper,
    });
  }
  return undefined;
};

/**
 * The acceptance interval: each limit of the tolerance moved inwards by the guard band `w` (JCGM 106:2012, 8.3; ILAC-G8
 * :09/2019, 4.2). w = 0 is simple acceptance, w below 0 widens. Null when nothing is left to accept.
 */
export const acceptanceLimits = (limits: Limits, w: number): Outcome<Limits | null> => {
  const fault = limitsFault(limits);
  if (fault !== undefined) return fault;
  if (!Number.isFinite(w)) return failure("uncertainty.invalid", "The guard band must be a finite number.");
  const acceptance = {
    ...(limits.lower === undefined ? {} : { lower: limits.lower + w }),
    ...(limits.upper === undefined ? {} : { upper: limits.upper - w }),
  };
  const empty = acceptance.lower !== undefined && acceptance.upper !== undefined && acceptance.lower > acceptance.upper;
  return success(empty ? null : acceptance);
};

/**
 * Probability that the true value lies within the limits, given the estimate and its standard uncertainty alone
 * (JCGM 106:2012, 7.4 and equation 5). With finite degrees of freedom Student's distribution takes the place of the
 * normal one (JCGM 101:2008, 6.4.9). u = 0: 1 within, 0 beyond.
 */
export const conformanceProbability = (
  value: number,
  u: number,
  limits: Limits,
  dof = Number.POSITIVE_INFINITY,
): Outcome<number> => {
  const fault = limitsFault(limits);
  if (fault !== undefined) return fault;
  if (!Number.isFinite(value)) return failure("uncertainty.invalid", "The value to be judged is not a finite number.");
  if (!(u >= 0 && u < Number.POSITIVE_INFINITY))
    return failure("uncertainty.invalid", "The standard uncertainty must be a finite number, 0 or more.");
  if (!(dof > 0)) return failure("uncertainty.invalid", "The degrees of freedom must be above 0.");
  if (u === 0) return success(within(value, limits) ? 1 : 0);
  // Both tails are taken as lower tails, where the distribution function keeps its precision.
  const below = limits.lower === undefined ? 0 : studentCdf((limits.lower - value) / u, dof);
  const above = limits.upper === undefined ? 0 : studentCdf((value - limits.upper) / u, dof);
  return success(Math.min(1, Math.max(0, 1 - below - above)));
};

export interface DecisionInput {
  readonly value: number;
  readonly u: number;
  readonly dof?: number;
  readonly limits: Limits;
  /** Guard band w; 0 for simple acceptance. */
  readonly guardBand: number;
}

/**
 * The decision on one value: pass inside the acceptance interval (limits included), fail outside it, undecided where the
 * guard bands leave no interval, whatever the value (ILAC-G8:09/2019, 4.2; JCGM 106:2012, 8).
 */
export const decide = ({ value, u, dof, limits, guardBand }: DecisionInput): Outcome<Judged> => {
  const probability = conformanceProbability(value, u, limits, dof);
  if (!probability.ok) return probability;
  const acceptance = acceptanceLimits(limits, guardBand);
  if (!acceptance.ok) return acceptance;
  const conformance = probability.value;
  if (acceptance.value === null) {
    return success({
      decision: "undecided",
      conformanceProbability: conformance,
      acceptance: null,
      specificRisk: null,
    });
  }
  const decision = within(value, acceptance.value) ? "pass" : "fail";
  return success({
    decision,
    conformanceProbability: conformance,
    acceptance: acceptance.value,
    specificRisk: decision === "pass" ? 1 - conformance : conformance,
  });
};
