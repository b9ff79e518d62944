export { monthsAfter } from "./calendar.ts";
export { driftAt, expectedAfter, type Drift } from "./drift-at.ts";
export { shareOfLimit, wasFoundGood, type EarlierCalibration, type EarlierPoint, type StatedError } from "./history.ts";
export { clopperPearson, type Reliability } from "./reliability.ts";
export {
  proposeInterval,
  type IntervalProposal,
  type IntervalSettings,
  type MethodAnswer,
} from "./propose-interval.ts";
