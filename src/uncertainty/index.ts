export {
  standardUncertaintyOfDigit,
  standardUncertaintyOfLimits,
  distributions,
  type Distribution,
} from "./distribution.ts";
export {
  usualLevel,
  type Budget,
  type BudgetLine,
  type CombinedBudget,
  type CombinedLine,
  type Correlation,
} from "./budget.ts";
export { combine } from "./combine.ts";
export { advise, type Advice, type BudgetAdvice } from "./advise.ts";
export { coverageFactor, coverageProbability, truncatedDegreesOfFreedom } from "./coverage-factor.ts";
export { meanOfSeries, type SeriesMean, type SeriesOptions } from "./mean-of-series.ts";
export { type Limits } from "./conformity/limits.ts";
export { conformanceOfTrials, conformanceProbability } from "./conformity/conformance-probability.ts";
export { acceptanceForRisk, acceptanceLimits } from "./conformity/acceptance.ts";
export {
  decide,
  judge,
  type DecisionInput,
  type Judged,
  type JudgedValue,
  type Rule,
  type Verdict,
} from "./conformity/decide.ts";
export { globalRisk, type GlobalRisk, type Prior } from "./conformity/global-risk.ts";
export { priorFrom, priorFromReliability, type FittedPrior } from "./conformity/prior.ts";
export {
  differenceOfSquaresAcceptance,
  guardBandForGlobalRisk,
  managedAcceptance,
  type GuardBandForRisk,
} from "./conformity/guard-bands.ts";
export {
  prepareTrials,
  trialsInBlock,
  type BlockModel,
  type InputQuantity,
  type Model,
  type ScalarModel,
  type Trials,
} from "./simulation/trials.ts";
export { SimulationRun, type Simulated, type SimulationSettings } from "./simulation/simulation-run.ts";
export { simulate } from "./simulation/simulate.ts";
export {
  aboutCentre,
  additiveModel,
  budgetSimulation,
  simulateBudget,
  type BudgetSimulation,
} from "./simulation/simulate-budget.ts";
export { numericalTolerance } from "./simulation/numerical-tolerance.ts";
export { validatePropagation, type PropagationCheck } from "./simulation/validate-propagation.ts";
