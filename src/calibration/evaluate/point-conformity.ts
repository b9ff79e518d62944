import { judge, truncatedDegreesOfFreedom, type Rule } from "#uncertainty";
import type { Item } from "../job/item.ts";
import type { DecisionRule } from "../job/procedure.ts";
import type { Conformity, ResultBudget } from "../result/result.ts";
import { toleranceAt } from "../tolerance/tolerance-at.ts";

/** A procedure's rule in numbers, K, for a point with an expanded uncertainty U (ILAC-G8:09/2019, 4.2). */
export const ruleInNumbers = (rule: DecisionRule, U: number): Rule => {
  switch (rule.kind) {
    case "simple":
      return { kind: "guard-band", width: 0 };
    case "guard-band":
      return { kind: "guard-band", width: rule.factor * U };
    case "specific-risk":
      return rule;
    case "g8-non-binary":
      return { kind: "non-binary", width: U };
  }
};

const noRoom = (rule: DecisionRule, { u, U }: Pick<ResultBudget, "u" | "U">): string =>
  rule.kind === "specific-risk"
    ? `At u = ${u.toPrecision(2)} K the risk of a wrong pass exceeds ${Number((100 * rule.limit).toPrecision(3))} % even in the middle of this tolerance, so nothing can be accepted.`
    : `The guard bands leave no room to accept anything: U = ${U.toPrecision(2)} K is too large for this tolerance.`;

export interface PointConformity {
  readonly conformity: Conformity | null;
  readonly conformityNote: string | null;
}

/**
 * The statement for one error. The tolerance is that agreed for the point, so it is taken at the nominal temperature;
 * where it is not defined there, there is no statement and a note says why.
 */
export const pointConformity = (
  item: Item,
  rule: DecisionRule,
  nominal: number,
  error: number,
  budget: ResultBudget,
): PointConformity => {
  const tolerance = toleranceAt(item.tolerance, item, nominal);
  return tolerance.ok
    ? conformityWithin(tolerance.value, rule, error, budget)
    : { conformity: null, conformityNote: tolerance.fault.message };
};

/** The statement for a value with its budget against limits, in the same unit. */
export const conformityWithin = (
  { lower, upper }: { readonly lower: number; readonly upper: number },
  rule: DecisionRule,
  error: number,
  budget: Pick<ResultBudget, "u" | "U" | "degreesOfFreedom">,
): PointConformity => {
  const dof = truncatedDegreesOfFreedom(budget.degreesOfFreedom ?? Number.POSITIVE_INFINITY);
  const judged = judge({ value: error, u: budget.u, dof, limits: { lower, upper } }, ruleInNumbers(rule, budget.U));
  if (!judged.ok) return { conformity: null, conformityNote: judged.fault.message };
  const { decision, acceptance, conformanceProbability, specificRisk } = judged.value;
  const limits = acceptance === null ? null : { lower: acceptance.lower ?? lower, upper: acceptance.upper ?? upper };
  return {
    conformity: { tolerance: { lower, upper }, acceptance: limits, decision, conformanceProbability, specificRisk },
    conformityNote: limits === null ? noRoom(rule, budget) : null,
  };
};
