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
export { coverageFactor, coverageProbability, truncatedDegreesOfFreedom } from "./coverage-factor.ts";
export { meanOfSeries, type SeriesMean, type SeriesOptions } from "./mean-of-series.ts";
export {
  acceptanceLimits,
  conformanceProbability,
  decide,
  type DecisionInput,
  type Judged,
  type Limits,
  type Verdict,
} from "./conformity.ts";
export { simulate, type Simulated, type SimulationSettings } from "./simulate.ts";
