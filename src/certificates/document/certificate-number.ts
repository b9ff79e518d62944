import type { Job } from "#calibration";
import type { IssueData } from "./model.ts";

/** The number that a certificate carries: the one given at issue, else the job's certificate number, else the job's number. */
export const certificateNumber = (job: Job, issued: Pick<IssueData, "number">): string =>
  issued.number ?? job.certificate ?? job.job;
