export { sensorSchema } from "./job/sensor.ts";
export { figureAt, figureSchema, type TableFigure } from "./job/table.ts";
export {
  identifierSchema,
  itemSchema,
  toleranceClasses,
  toleranceSchema,
  type ColdJunction,
  type Item,
  type Tolerance,
  type ToleranceClass,
} from "./job/item.ts";
export {
  kitSchema,
  readoutSchema,
  referenceSchema,
  sourceSchema,
  type Accuracy,
  type Kit,
  type KitCalibration,
  type Readout,
  type Reference,
  type Source,
} from "./job/kit.ts";
export type { AgreedInterval, Capability } from "./job/laboratory.ts";
export { historySchema, type EarlierError, type History } from "./job/history.ts";
export { rampSchema, type Ramp, type Sweep } from "./job/ramp.ts";
export { expectedChanges, isSwitch, type ExpectedChange, type SwitchItem } from "./job/switch-sweeps.ts";
export {
  isClosed,
  observeContact,
  watchContact,
  type ContactChange,
  type ContactWatch,
} from "./switch/contact-watch.ts";
export type {
  MeasuredChange,
  MeasuredDeadBand,
  SweepResult,
  SwitchLag,
  SwitchResult,
  UnmeasuredChange,
  UnmeasuredDeadBand,
} from "./result/switch-result.ts";
export { jobConverter, type JobConverter } from "./job/converter.ts";
export {
  displayRead,
  isTyped,
  readByHand,
  readingsByHand,
  typedResolution,
  wiredChannels,
} from "./job/typed-channel.ts";
export { closingCheckSchema, type ClosingCheckPlan } from "./job/closing-check.ts";
export {
  limitsOf,
  limitsSchema,
  rangesOf,
  type Limit,
  type OwnedRange,
  type OwnLimits,
  type RunLimits,
} from "./job/limits.ts";
export { plannedPoints, type PlannedPoint } from "./job/planned-points.ts";
export { jobAfter, kitInUse } from "./log/job-after.ts";
export {
  passes,
  procedureSchema,
  type DecisionRule,
  type Direction,
  type Pass,
  type Procedure,
} from "./job/procedure.ts";
export {
  benchSchema,
  jobSchema,
  type Bench,
  type BenchInstrument,
  type Channel,
  type Job,
  type JobInput,
  type Party,
  type WiredChannel,
} from "./job/job.ts";
export {
  logFormat,
  runEventSchema,
  runOpenedSchema,
  type EventDraft,
  type RunEvent,
  type RunEventKind,
  type RunEventOf,
  type RunOpened,
  type SettlingEvidence,
} from "./log/events.ts";
export type {
  ClosingCheck,
  Conformity,
  Decision,
  Distribution,
  Figure,
  FittedCoefficient,
  FittedItem,
  FittedRow,
  GlobalRiskStatement,
  Hysteresis,
  ItemResult,
  KitChange,
  MeasuredPoint,
  NoGlobalRisk,
  PassResult,
  PointResult,
  RepeatedTemperature,
  ReportedPoint,
  Result,
  ResultBudget,
  ResultBudgetLine,
  UnfittedItem,
  UnmeasuredPoint,
} from "./result/result.ts";
export { classTolerance, type Construction, type ToleranceLimits } from "./tolerance/class-tolerance.ts";
export { toleranceAt, type ToleratedItem } from "./tolerance/tolerance-at.ts";
export { checkSequence, parseEvent, parseLog } from "./log/parse-log.ts";
export { KeptLog, type RunLog } from "./log/kept-log.ts";
export { logView, type LogView, type PassPoint, type PointHistory } from "./log/log-view.ts";
export { ChannelReadings } from "./log/channel-readings.ts";
export { evaluate } from "./evaluate/evaluate.ts";
export { calendarDay, type CalendarDay } from "./evaluate/calendar-day.ts";
export { coversDay } from "./evaluate/kit-validity.ts";
export {
  proposeAdjustment,
  zeroAndSpan,
  type AdjustedPoint,
  type AdjustmentProposal,
  type ZeroAndSpan,
} from "./evaluate/zero-and-span.ts";
export { proposeCoefficients, type CoefficientsProposal, type NewCoefficients } from "./evaluate/new-coefficients.ts";
export { covarianceBetween, differenceBetween, type DifferenceOfErrors } from "./evaluate/between-points.ts";
export { pointModel, type PointModel, type PointModelDescription } from "./evaluate/point-model.ts";
export {
  notValidated,
  pointSimulations,
  simulatePoint,
  validatePoint,
  validatePoints,
  type PointSimulation,
  type PointValidation,
  type UnvalidatedPoint,
  type ValidatedPoint,
  type ValidationSettings,
} from "./evaluate/validate-points.ts";
export { explain, type ExplainedPlace, type ExplainedReading, type Explanation } from "./evaluate/explain.ts";
export { explanationText } from "./evaluate/explanation-text.ts";
export { forecast, type Forecast, type ForecastPoint } from "./forecast/forecast.ts";
export { type ForecastOptions } from "./forecast/predicted-log.ts";
export { fitModels, type CurveFit, type FitInput, type FitModel, type FitPoint } from "./fit/curve-fit.ts";
export { fitInputSchema } from "./fit/fit-schema.ts";
export { fitCurve } from "./fit/fit-curve.ts";
export { bandOf, coefficientBand, fitBand, type Band, type CoefficientCovariance } from "./fit/fit-band.ts";
export { signalAt } from "./fit/signal-at.ts";
export { coefficientsOf, withCoefficients, type NamedCoefficient } from "./fit/sensor-coefficients.ts";
export {
  checkCoefficients,
  type CheckedValue,
  type CheckInput,
  type CheckValue,
  type CoefficientCheck,
  type CoefficientVerdict,
} from "./fit/check-coefficients.ts";
export { checkReference, type ReferenceCheck } from "./fit/check-reference.ts";
export { pastedCheckSchema, readPastedCheck } from "./fit/pasted-coefficients.ts";
export { type Slip, type SlipKind } from "./fit/slips.ts";
