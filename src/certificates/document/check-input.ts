import type { PointValidation, Result, RunEvent } from "#calibration";
import type { IssueData } from "./model.ts";

/** What the checks before issue look at. */
export interface CheckInput {
  readonly log: readonly RunEvent[];
  readonly result: Result;
  readonly issued: IssueData;
  /** What Monte Carlo says of each point (JCGM 101:2008, clause 8); left out where it was not asked yet. */
  readonly validation?: readonly PointValidation[];
}
