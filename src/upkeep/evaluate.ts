import type { Outcome } from "#fault";
import { evaluateReferenceCheck, type ReferenceCheckResult } from "./check/evaluate-check.ts";
import type { UpkeepDocument } from "./document/document.ts";
import { characterise, type CharacterisationResult } from "./source/characterise.ts";
import { evaluatePullTest, type PullTestResult } from "./thermometer/pull-test.ts";
import { evaluateSelfHeating, type SelfHeatingResult } from "./thermometer/self-heating.ts";

export type UpkeepResult = CharacterisationResult | PullTestResult | SelfHeatingResult | ReferenceCheckResult;

/** A document of upkeep to its result, from the document alone: the same digits on any machine. */
export const evaluateUpkeep = (document: UpkeepDocument): Outcome<UpkeepResult> => {
  switch (document.kind) {
    case "characterisation":
      return characterise(document);
    case "pull-test":
      return evaluatePullTest(document);
    case "self-heating":
      return evaluateSelfHeating(document);
    case "reference-check":
      return evaluateReferenceCheck(document);
  }
};
