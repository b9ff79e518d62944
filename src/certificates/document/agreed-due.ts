import type { Job } from "#calibration";
import { monthsAfter } from "./calendar.ts";
import type { IssueData } from "./issue-data.ts";

export interface AgreedDue {
  /** Year-month-day. */
  readonly date: string;
  readonly agreedWith: string;
}

/**
 * The next calibration, where it was agreed with the customer, in the job or at issue; null otherwise, and then nothing may name
 * one (ISO/IEC 17025:2017, 7.8.4.3, from memory).
 * @param ended day on which the calibration ended, year-month-day
 */
export const agreedDue = (job: Job, { interval }: Pick<IssueData, "interval">, ended: string): AgreedDue | null => {
  if (interval !== undefined) return { date: interval.due, agreedWith: interval.agreedWith };
  if (job.interval === undefined) return null;
  return { date: monthsAfter(ended, job.interval.months), agreedWith: job.interval.agreedWith };
};
