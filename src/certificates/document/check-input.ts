import type { Result, RunEvent } from "#calibration";
import type { IssueData } from "./model.ts";

/** What the checks before issue look at. */
export interface CheckInput {
  readonly log: readonly RunEvent[];
  readonly result: Result;
  readonly issued: IssueData;
}
