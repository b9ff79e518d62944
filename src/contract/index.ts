export { createClient, paths, StationRefusal, type Fetch, type StationClient } from "./client.ts";
export {
  certificateSummarySchema,
  eventsAnswerSchema,
  issueSchema,
  jobDetailSchema,
  jobSummarySchema,
  resultAnswerSchema,
  runSummarySchema,
  startRunSchema,
  stationSchema,
  type CertificateSummary,
  type EventsAnswer,
  type JobDetail,
  type JobSummary,
  type ResultAnswer,
  type RunSummary,
  type StationAnswer,
} from "./jobs.ts";
export {
  chosenOrderSchema,
  dayPlanSchema,
  dayQuestionSchema,
  kitComparisonSchema,
  planSchema,
  type DayPlan,
  type DayQuestion,
  type KitComparisonAnswer,
  type Plan,
} from "./plan.ts";
export {
  explanationSchema,
  offeredHistorySchema,
  validationSchema,
  type OfferedHistory,
  type Validation,
} from "./judging.ts";
export { diagnosisAnswerSchema, type DiagnosisAnswer } from "./diagnosis.ts";
export { fieldProblemSchema, problemSchema, type FieldProblem, type Problem } from "./problems.ts";
export {
  approachSchema,
  runCommandNames,
  runCommandSchema,
  runMessageSchema,
  runViewSchema,
  rampViewSchema,
  settlingViewSchema,
  stopSchema,
  type Approach,
  type RampView,
  type RunCommand,
  type RunCommandName,
  type RunMessage,
  type RunView,
  type SettlingView,
  type Stop,
} from "./run-view.ts";
// Which points a procedure plans: the ones written down, and the repeat of the first.
export { plannedPoints } from "#calibration";
// The shapes of a job and of a result belong to calibration; the pages take them from here.
export type {
  Conformity,
  Decision,
  Explanation,
  Figure,
  Item,
  ItemResult,
  Job,
  MeasuredChange,
  MeasuredDeadBand,
  MeasuredPoint,
  Pass,
  PassResult,
  PointResult,
  PointValidation,
  Result,
  ResultBudget,
  ResultBudgetLine,
  SweepResult,
  SwitchResult,
  UnmeasuredChange,
} from "#calibration";
