import { failure, Fault, success, type Outcome } from "#fault";
import {
  globalRisk,
  guardBandForGlobalRisk,
  judge,
  priorFrom,
  priorFromReliability,
  type Judged,
  type JudgedValue,
  type Limits,
  type Prior,
  type Rule,
} from "#uncertainty";
import type { Command } from "../command.ts";
import { answerDocument } from "../json-document.ts";
import { readObject } from "../json-lines.ts";
import { readFields, readNumbers } from "../read-numbers.ts";

const help = `
dwellpoint decide

A value with its uncertainty against limits, under a decision rule (JCGM 106, ILAC-G8). One JSON object on standard input
(or JSON Lines, an answer each).

in   {"value","u","dof"?,"lower"?,"upper"?,"rule":R,"prior"?:P}
       u       standard uncertainty, 0 or more;  dof: its degrees of freedom, infinitely many where left out or null
       lower, upper   one of them or both
     R  {"kind":"simple"}                             accepted within the limits
        {"kind":"guard-band","factor":1,"k":2}        limits drawn in by w = factor·k·u (1 and 2 where left out)
        {"kind":"uncritical","factor":1,"k":2}        limits widened by w: what is not shown to be beyond them
        {"kind":"specific-risk","limit":0.02}         accepted where the risk of a wrong pass is the limit or less
        {"kind":"g8-non-binary","factor":1,"k":2}     pass, conditional-pass, conditional-fail, fail
        {"kind":"global-risk","limit":0.02}           limits drawn in until the consumer's global risk is the limit; needs a prior
     P  {"mean","sd"}            what is known of such items before this measurement: their true values are normal
        {"history":[e,…],"u"?}   errors found before and their u (this one's where left out)
        {"reliability":0.9}      share found within the limits at the end of their intervals; limits symmetric about 0

out  {"decision","conformanceProbability","acceptance":{"lower","upper"},"specificRisk","globalRisk"?:{"consumer","producer"},
      "prior"?,"statements"}
       decision     pass, conditional-pass, undecided, conditional-fail, fail. Undecided: the rule leaves nothing to accept
                    (acceptance null); that is never a fail.
       acceptance   of a side without a limit: null
       specificRisk  that the decision is wrong for this very item, given this measurement alone; null where undecided
       globalRisk    before any measurement: that an item of the population is accepted and does not conform (consumer),
                     or is rejected and conforms (producer). It says nothing about this item.
     {"error":{"code","message","data"}}   in its place

Exit 0 when every object was answered, 1 when one or more got an error, 2 for wrong usage.
Example: echo '{"value":0.31,"u":0.1,"lower":-0.5,"upper":0.5,"rule":{"kind":"guard-band"}}' | dwellpoint decide
`;

/** A rule that is settled before the prior is known, or one that follows from it. */
type AskedRule = Rule | { readonly kind: "global-risk"; readonly limit: number };

const usualLimit = 0.02;

const readGuard = (rule: Readonly<Record<string, unknown>>, u: number): Outcome<number> => {
  const numbers = readNumbers(rule, ["factor", "k"], "rule.");
  if (!numbers.ok) return numbers;
  const { factor = 1, k = 2 } = numbers.value;
  return factor >= 0 && k > 0
    ? success(factor * k * u)
    : failure("input.invalid", "A guard band needs a factor of 0 or more and a k above 0.", { field: "rule" });
};

const fieldsOf: Readonly<Record<string, readonly string[]>> = {
  simple: ["kind"],
  "guard-band": ["kind", "factor", "k"],
  uncritical: ["kind", "factor", "k"],
  "g8-non-binary": ["kind", "factor", "k"],
  "specific-risk": ["kind", "limit"],
  "global-risk": ["kind", "limit"],
};

const readRule = (value: unknown, u: number): Outcome<AskedRule> => {
  const kind = typeof value === "object" && value !== null && "kind" in value ? String(value.kind) : "";
  const fields = Object.hasOwn(fieldsOf, kind) ? fieldsOf[kind] : undefined;
  if (fields === undefined) {
    const words = `Field "rule.kind" must be one of ${Object.keys(fieldsOf).join(", ")}.`;
    return failure("input.invalid", words, { field: "rule.kind" });
  }
  const rule = readFields(value, fields, "rule");
  if (!rule.ok) return rule;
  if (kind === "simple") return success({ kind: "guard-band", width: 0 });
  if (kind === "specific-risk" || kind === "global-risk") {
    const limit = readNumbers(rule.value, ["limit"], "rule.");
    return limit.ok ? success({ kind, limit: limit.value.limit ?? usualLimit }) : limit;
  }
  const width = readGuard(rule.value, u);
  if (!width.ok) return width;
  if (kind === "g8-non-binary") return success({ kind: "non-binary", width: width.value });
  return success({ kind: "guard-band", width: kind === "uncritical" ? -width.value : width.value });
};

const readPrior = (value: unknown, { u, limits }: JudgedValue): Outcome<Prior> => {
  const object = readFields(value, ["mean", "sd", "history", "u", "reliability"], "prior");
  if (!object.ok) return object;
  const numbers = readNumbers(object.value, ["mean", "sd", "u", "reliability"], "prior.");
  if (!numbers.ok) return numbers;
  const { mean, sd, u: ofHistory, reliability } = numbers.value;
  const { history } = object.value;
  const given = [mean !== undefined || sd !== undefined, history !== undefined, reliability !== undefined];
  if (given.filter(Boolean).length !== 1) {
    const words = 'A prior is {"mean","sd"}, {"history","u"} or {"reliability"}: give one of them.';
    return failure("input.invalid", words, { field: "prior" });
  }
  if (history !== undefined) {
    if (!Array.isArray(history) || !history.every((error) => typeof error === "number"))
      return failure("input.invalid", 'Field "prior.history" must be a list of numbers.', { field: "prior.history" });
    const fitted = priorFrom(history as number[], ofHistory ?? u);
    return fitted.ok ? success({ mean: fitted.value.mean, sd: fitted.value.sd }) : fitted;
  }
  if (reliability !== undefined) {
    const { lower, upper } = limits;
    return upper !== undefined && lower === -upper
      ? priorFromReliability(upper, reliability, u)
      : failure("input.invalid", "A prior from reliability needs limits that are symmetric about 0.", {
          field: "prior",
        });
  }
  return mean !== undefined && sd !== undefined
    ? success({ mean, sd })
    : failure("input.invalid", 'A prior needs "mean" and "sd".', { field: "prior" });
};

/** The acceptance that keeps a global risk, as a guard band for this one decision. */
const settledRule = (rule: AskedRule, { u, limits }: JudgedValue, prior: Prior | undefined): Outcome<Rule> => {
  if (rule.kind !== "global-risk") return success(rule);
  if (prior === undefined) return failure("input.invalid", 'The rule "global-risk" needs a prior.', { field: "prior" });
  const found = guardBandForGlobalRisk(limits, u, prior, rule.limit);
  if (!found.ok) return found;
  return found.value === null
    ? failure("uncertainty.invalid", "No acceptance interval keeps this global risk.", { limit: rule.limit })
    : success({ kind: "guard-band", width: found.value.guardBand });
};

const readValue = (object: Readonly<Record<string, unknown>>): Outcome<JudgedValue> => {
  const present = { ...object, ...(object["dof"] === null ? { dof: undefined } : {}) };
  const numbers = readNumbers(present, ["value", "u", "dof", "lower", "upper"]);
  if (!numbers.ok) return numbers;
  const { value, u, dof, lower, upper } = numbers.value;
  if (value === undefined || u === undefined) {
    const field = value === undefined ? "value" : "u";
    return failure("input.invalid", `Field "${field}" must be a finite number.`, { field });
  }
  const limits = { ...(lower === undefined ? {} : { lower }), ...(upper === undefined ? {} : { upper }) };
  return success({ value, u, limits, ...(dof === undefined ? {} : { dof }) });
};

const percent = (probability: number): string => `${Number((100 * probability).toPrecision(3))} %`;

/** What the two kinds of risk say, each in its own sentence, so that nobody takes one for the other. */
const statementsOf = (
  { decision, specificRisk }: Judged,
  risk: { readonly consumer: number; readonly producer: number } | undefined,
): Record<string, string> => {
  const accepted = decision === "pass" || decision === "conditional-pass";
  return {
    specific:
      specificRisk === null
        ? "No decision: the rule leaves nothing to accept with this uncertainty, whatever the value. That is not a fail."
        : accepted
          ? `Specific risk: the probability that this very item does not conform is ${percent(specificRisk)}.`
          : `Specific risk: the probability that this very item conforms all the same is ${percent(specificRisk)}.`,
    ...(risk === undefined
      ? {}
      : {
          global: `Global risk, before any measurement: ${percent(risk.consumer)} of such items are accepted and do not conform (consumer), ${percent(risk.producer)} are rejected and conform (producer).`,
        }),
  };
};

const sideOf = (acceptance: Limits | null): { lower: number | null; upper: number | null } | null =>
  acceptance === null ? null : { lower: acceptance.lower ?? null, upper: acceptance.upper ?? null };

const answer = (value: unknown): Outcome<object> => {
  const object = readObject(value, ["value", "u", "dof", "lower", "upper", "rule", "prior"]);
  if (!object.ok) return object;
  const input = readValue(object.value);
  if (!input.ok) return input;
  const asked = readRule(object.value["rule"], input.value.u);
  if (!asked.ok) return asked;
  const given = object.value["prior"];
  const prior = given === undefined ? undefined : readPrior(given, input.value);
  if (prior !== undefined && !prior.ok) return prior;
  const rule = settledRule(asked.value, input.value, prior?.value);
  if (!rule.ok) return rule;
  const judged = judge(input.value, rule.value);
  if (!judged.ok) return judged;
  const { decision, conformanceProbability, acceptance, specificRisk } = judged.value;
  const { limits, u } = input.value;
  const risk = prior === undefined || acceptance === null ? undefined : globalRisk(limits, acceptance, u, prior.value);
  if (risk !== undefined && !risk.ok) return risk;
  return success({
    decision,
    conformanceProbability,
    acceptance: sideOf(acceptance),
    specificRisk,
    ...(risk === undefined ? {} : { globalRisk: risk.value }),
    ...(prior === undefined ? {} : { prior: prior.value }),
    statements: statementsOf(judged.value, risk?.value),
  });
};

/** `decide`: a value against limits under a decision rule, with its specific and its global risk. */
export const decide: Command = {
  name: "decide",
  summary: "a value against its limits under a decision rule, with its risks",
  help,
  run: (words, surroundings) => {
    if (words.length > 0)
      throw new Fault(
        "usage.wrong",
        `decide takes no words, only JSON on standard input; "${words[0]}" is one. dwellpoint decide --help tells more.`,
      );
    return answerDocument(surroundings, answer);
  },
};
