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
export { passes, procedureSchema, type DecisionRule, type Pass, type Procedure } from "./job/procedure.ts";
export {
  benchSchema,
  jobSchema,
  type Bench,
  type BenchInstrument,
  type Channel,
  type Job,
  type JobInput,
  type Party,
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
  Conformity,
  Decision,
  Distribution,
  Figure,
  ItemResult,
  MeasuredPoint,
  PassResult,
  PointResult,
  ReportedPoint,
  Result,
  ResultBudget,
  ResultBudgetLine,
  UnmeasuredPoint,
} from "./result/result.ts";
