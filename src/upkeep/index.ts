export { evaluateUpkeep, type UpkeepResult } from "./evaluate.ts";
export {
  upkeepDocumentSchema,
  upkeepKinds,
  type UpkeepDocument,
  type UpkeepDocumentInput,
  type UpkeepKind,
} from "./document/document.ts";
export { checkPoints, type EarlierCheck, type ReferenceCheck } from "./document/reference-check.ts";
export { type Characterisation, type CharacterisationPart } from "./document/characterisation.ts";
export { type PullTest } from "./document/pull-test.ts";
export { type SelfHeatingTest } from "./document/self-heating.ts";
export { type Thermometer } from "./document/thermometer.ts";
export type { EntryChange, FigureName, FoundFigure, ProposedRevision, Verdict } from "./found.ts";
export type { CharacterisationResult } from "./source/characterise.ts";
export type { PullTestResult } from "./thermometer/pull-test.ts";
export type { SelfHeatingResult } from "./thermometer/self-heating.ts";
export type { ReferenceCheckResult } from "./check/evaluate-check.ts";
export type { ChartLimits, ChartPoint, ChartSignal, ControlChart } from "./check/chart.ts";
export { signalWords, type Allowance } from "./check/verdict.ts";
export { shiftOverRange, type ShiftAt } from "./check/shift-over-range.ts";
export { upkeepPlanSchema, type UpkeepPlan } from "./guide/plan.ts";
export { stepsOf } from "./guide/steps-of.ts";
export { type Arrangement, type UpkeepStep } from "./guide/steps.ts";
export { cautions, touchable } from "./guide/cautions.ts";
export { documentOf, type TakenVisit } from "./guide/document-of.ts";
export { usualPlan, type KitEntries } from "./guide/usual-plan.ts";
export { earlierChecks } from "./check/earlier-checks.ts";
export { resultLines } from "./text/result-lines.ts";
export { stepLines } from "./text/step-lines.ts";
