import { adjustmentStops, measurementStops, measurementWarnings } from "./check-measurements.ts";
import { kitStops, kitWarnings } from "./check-kit.ts";
import { paperStops, paperWarnings } from "./check-paper.ts";
import { validationWarnings } from "./check-validation.ts";
import { switchStops, switchWarnings } from "./check-switch.ts";
import type { CheckInput } from "./check-input.ts";
import { globalRiskWarnings } from "./global-risk-statement.ts";
import type { Finding, IssueCheck } from "./model.ts";
import { openedRun } from "./opened-run.ts";

type Check = (input: CheckInput) => readonly Finding[];

const stopChecks: readonly Check[] = [paperStops, kitStops, measurementStops, switchStops, adjustmentStops];
const warningChecks: readonly Check[] = [
  paperWarnings,
  kitWarnings,
  measurementWarnings,
  switchWarnings,
  globalRiskWarnings,
  validationWarnings,
];

/**
 * The check list before issue. A stop forbids issue: the certificate would lack something that a clause of
 * ISO/IEC 17025:2017 demands, or state something that does not hold. A warning is for the person who authorises.
 * Each sentence says what is wrong and what to do; clause letters are those of ISO/IEC 17025:2017 (from memory).
 * @throws Fault `log.invalid` where the log does not begin with `run-opened`.
 */
export const checkBeforeIssue = (input: CheckInput): IssueCheck => {
  openedRun(input.log);
  return {
    stops: stopChecks.flatMap((check) => check(input)),
    warnings: warningChecks.flatMap((check) => check(input)),
  };
};
