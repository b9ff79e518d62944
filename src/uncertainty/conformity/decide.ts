import { failure, success, type Outcome } from "#fault";
import { acceptanceForRisk, acceptanceLimits } from "./acceptance.ts";
import { conformanceProbability } from "./conformance-probability.ts";
import { drawnIn, within, type Limits } from "./limits.ts";

export type Verdict = "pass" | "conditional-pass" | "undecided" | "conditional-fail" | "fail";

/**
 * A decision rule in numbers. `guard-band`: the limits moved inwards by `width`; 0 is simple acceptance, below 0 the
 * uncritical rule, which accepts what is not shown to be beyond the limits (ILAC-G8:09/2019, 4.2). `specific-risk`:
 * the widest interval within which the risk of a wrong pass is `limit` or less. `non-binary`: four statements, by the tolerance
 * and by the guard band on either side of its limits (ILAC-G8:09/2019, 4.2.3).
 */
export type Rule =
  | { readonly kind: "guard-band"; readonly width: number }
  | { readonly kind: "specific-risk"; readonly limit: number }
  | { readonly kind: "non-binary"; readonly width: number };

export interface Judged {
  readonly decision: Verdict;
  /** Probability that the true value lies within the tolerance, given this measurement alone. */
  readonly conformanceProbability: number;
  /** Where the value must lie for an unconditional pass; null where nothing can be accepted. */
  readonly acceptance: Limits | null;
  /** Probability that the decision is wrong for this very item; null where there is none. */
  readonly specificRisk: number | null;
}

export interface JudgedValue {
  readonly value: number;
  readonly u: number;
  readonly dof?: number;
  readonly limits: Limits;
}

export interface DecisionInput extends JudgedValue {
  /** Guard band w; 0 for simple acceptance. */
  readonly guardBand: number;
}

const acceptanceOf = ({ u, dof, limits }: JudgedValue, rule: Rule): Outcome<Limits | null> => {
  if (rule.kind === "specific-risk") return acceptanceForRisk(limits, u, rule.limit, dof);
  if (rule.kind === "non-binary" && !(rule.width >= 0))
    return failure("uncertainty.invalid", "The guard band of the non-binary statement must be 0 or more.");
  return acceptanceLimits(limits, rule.width);
};

const verdictOf = (value: number, limits: Limits, acceptance: Limits, rule: Rule): Verdict => {
  if (within(value, acceptance)) return "pass";
  if (rule.kind !== "non-binary") return "fail";
  if (within(value, limits)) return "conditional-pass";
  return within(value, drawnIn(limits, -rule.width)!) ? "conditional-fail" : "fail";
};

/**
 * The decision on one value under a rule: pass inside the acceptance interval (limits included), fail outside it, or one of
 * the two conditional statements between; undecided where the rule leaves no interval, whatever the value
 * (ILAC-G8:09/2019, 4.2; JCGM 106:2012, 8). Numbers that cannot be judged are a failure `uncertainty.invalid`.
 */
export const judge = (input: JudgedValue, rule: Rule): Outcome<Judged> => {
  const { value, u, dof, limits } = input;
  const probability = conformanceProbability(value, u, limits, dof);
  if (!probability.ok) return probability;
  const acceptance = acceptanceOf(input, rule);
  if (!acceptance.ok) return acceptance;
  const conformance = probability.value;
  const common = { conformanceProbability: conformance, acceptance: acceptance.value };
  if (acceptance.value === null) return success({ ...common, decision: "undecided", specificRisk: null });
  const decision = verdictOf(value, limits, acceptance.value, rule);
  const accepted = decision === "pass" || decision === "conditional-pass";
  return success({ ...common, decision, specificRisk: accepted ? 1 - conformance : conformance });
};

/** The decision with a guard band of a known width; see `judge`. */
export const decide = ({ guardBand, ...input }: DecisionInput): Outcome<Judged> =>
  judge(input, { kind: "guard-band", width: guardBand });
