import type { DecisionRule } from "../job/procedure.ts";
import type { MeasuredPoint } from "../result/result.ts";
import { inWords } from "./budget-line.ts";

/** The rule that was applied and what came of it, in sentences; each risk under its own name. */
export interface ExplainedDecision {
  readonly rule: string;
  /** The comparison with the values put in, or why there is none. */
  readonly comparison: string;
  /** Specific risk of this statement, and the global risks where the job gives a history. */
  readonly risks: readonly string[];
}

/** Probabilities near their ends in words, because "100.00 %" is never meant. */
const inPercent = (probability: number): string => {
  if (probability > 0.9999) return "above 99.99 %";
  return probability < 0.0001 ? "below 0.01 %" : `${(100 * probability).toFixed(2)} %`;
};

const ruleWords = (rule: DecisionRule, U: number): string => {
  switch (rule.kind) {
    case "simple":
      return "simple acceptance, w = 0";
    case "guard-band":
      return `guard band w = ${rule.factor}·U = ${inWords(rule.factor * U)} K`;
    case "specific-risk":
      return `specific risk of a wrong pass at most ${inWords(100 * rule.limit)} %`;
    case "g8-non-binary":
      return `pass, conditional pass, conditional fail, fail with w = U = ${inWords(U)} K`;
  }
};

const globalWords = ({ globalRisk }: MeasuredPoint): string[] => {
  if (globalRisk === undefined) return [];
  if (globalRisk.status === "not-stated") return [`global risk: not stated. ${globalRisk.reason}`];
  const { consumer, producer, prior } = globalRisk;
  const whose = prior.of === "item" ? "this item's own earlier errors" : "earlier errors of its class";
  return [
    `global risk, before any measurement, not of this item: ${inPercent(consumer)} of such items are accepted and do not conform (consumer), ${inPercent(producer)} are rejected and conform (producer)`,
    `prior from ${prior.observations} of ${whose}, ${prior.from} to ${prior.to}: mean ${inWords(prior.mean)} K, standard deviation ${inWords(prior.sd)} K with the part of their measurements taken off (${inWords(prior.observed)} K as found)`,
  ];
};

/** The rule of a point and its outcome, with the values put in. */
export const explainedDecision = (rule: DecisionRule, result: MeasuredPoint): ExplainedDecision => {
  const { conformity, conformityNote, nominal, error, budget } = result;
  if (conformity === null)
    return { rule: ruleWords(rule, budget.U), comparison: `no statement: ${conformityNote ?? ""}`, risks: [] };
  const { tolerance, acceptance, decision, conformanceProbability, specificRisk } = conformity;
  const words = `tolerance ${inWords(tolerance.lower)} K to ${inWords(tolerance.upper)} K at ${nominal} °C; rule: ${ruleWords(rule, budget.U)}`;
  const comparison =
    acceptance === null
      ? `${decision.replace("-", " ")}: ${conformityNote ?? ""}`
      : `accepted from ${inWords(acceptance.lower)} K to ${inWords(acceptance.upper)} K; the error is ${error.value.toFixed(4)} K: ${decision.replace("-", " ")}`;
  const specific = `specific risk, of this very item: probability of conformance ${inPercent(conformanceProbability)}${specificRisk === null ? "" : `, risk that this decision is wrong ${inPercent(specificRisk)}`}`;
  return { rule: words, comparison, risks: [specific, ...globalWords(result)] };
};
