import type { Result, RunEvent } from "#calibration";
import { openedRun, performanceDays } from "./opened-run.ts";

/**
 * The day of issue to propose: today, or the day on which the run ended where that is later. A simulated bench runs ahead
 * of the calendar, and a certificate is never issued before its calibration ended.
 * @param today UTC day, year-month-day
 */
export const issueDay = (log: readonly RunEvent[], result: Result, today: string): string => {
  const { ended } = performanceDays(openedRun(log), result);
  return ended > today ? ended : today;
};
