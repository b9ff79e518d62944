import { decide, truncatedDegreesOfFreedom } from "#uncertainty";
import type { Item } from "../job/item.ts";
import type { DecisionRule } from "../job/procedure.ts";
import type { Conformity, ResultBudget } from "../result/result.ts";
import { toleranceAt } from "../tolerance/tolerance-at.ts";

/** Guard band w of a rule, in K (ILAC-G8:09/2019, 4.2). */
export const guardBandOf = (rule: DecisionRule, U: number): number => (rule.kind === "simple" ? 0 : rule.factor * U);

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
  if (!tolerance.ok) return { conformity: null, conformityNote: tolerance.fault.message };
  const { lower, upper } = tolerance.value;
  const judged = decide({
    value: error,
    u: budget.u,
    dof: truncatedDegreesOfFreedom(budget.degreesOfFreedom ?? Number.POSITIVE_INFINITY),
    limits: { lower, upper },
    guardBand: guardBandOf(rule, budget.U),
  });
  if (!judged.ok) return { conformity: null, conformityNote: judged.fault.message };
  const { decision, acceptance, conformanceProbability, specificRisk } = judged.value;
  const limits = acceptance === null ? null : { lower: acceptance.lower ?? lower, upper: acceptance.upper ?? upper };
  return {
    conformity: { tolerance: { lower, upper }, acceptance: limits, decision, conformanceProbability, specificRisk },
    conformityNote:
      limits === null
        ? `The guard bands leave no room to accept anything: U = ${budget.U.toPrecision(2)} K is too large for this tolerance.`
        : null,
  };
};
