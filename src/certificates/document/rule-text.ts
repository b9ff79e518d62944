import type { DecisionRule } from "#calibration";
import type { Writing } from "./writing.ts";

/** The decision rule in words, with its formula and its level of risk (ISO/IEC 17025:2017, 7.8.6; ILAC-G8:09/2019). */
export const ruleText = (rule: DecisionRule, { words, set }: Writing): { name: string; text: string } => {
  const { rules, ownRisk } = words.statements;
  switch (rule.kind) {
    case "simple":
      return { name: rules.simple.name, text: `${rules.simple.text}${ownRisk}` };
    case "guard-band": {
      const width = rule.factor === 1 ? "w = U" : `w = ${set.decimal(rule.factor)}·U`;
      // The bound of ILAC-G8 holds for w = U and wider.
      const bound = rule.factor >= 1 ? rules.guardBand.bound : "";
      return { name: rules.guardBand.name(width), text: `${rules.guardBand.text(width)}${bound}${ownRisk}` };
    }
    case "specific-risk": {
      const limit = set.percent(rule.limit);
      return { name: rules.specificRisk.name(limit), text: `${rules.specificRisk.text(limit)}${ownRisk}` };
    }
    case "g8-non-binary":
      return { name: rules.nonBinary.name, text: `${rules.nonBinary.text}${ownRisk}` };
  }
};
