export { findRulesOfFew, judgeFew, predictNext, type FewJudgement, type FewReading } from "./few-readings.ts";
export { forecastOf, type Forecast } from "./forecast.ts";
export { learnPace } from "./known-pace.ts";
export { blockLength, confirmationGap } from "./lengths.ts";
export { obstacles, type Judgement, type Obstacle } from "./judgement.ts";
export { observe, observeSource } from "./observe.ts";
export { bindings, defaultSettling, type Binding, type SettlingOptions } from "./options.ts";
export {
  findRules,
  ruleQuantities,
  type PlainRules,
  type RuleFinding,
  type RuleLimit,
  type RuleQuantity,
} from "./plain-rules.ts";
export { type KnownPace } from "./pace.ts";
export { decideRecorded, type Decided, type RecordedApproach } from "./recorded.ts";
export { type SlowTail } from "./slow-tail.ts";
export type { Block, PairedReading } from "./block.ts";
export { createSettling, type BoundMark, type SettlingState } from "./state.ts";
