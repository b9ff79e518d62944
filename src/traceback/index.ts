export { suspicionSchema, type Suspicion } from "./suspicion.ts";
export { shareAt, type Share } from "./share-at.ts";
export { correctedLog } from "./corrected-log.ts";
export { reassess, type MovedResult, type ReassessedRun } from "./reassess.ts";
export { type Descendant } from "./calibrated-with.ts";
export {
  traceBack,
  type Reassessed,
  type ToTell,
  type Trace,
  type TracedRun,
  type TracePorts,
  type TraceProgress,
} from "./trace-back.ts";
export { traceCsv } from "./trace-csv.ts";
