import type { Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";

/** What must hold between the fields of a job. */
export const jobComplaints = (_job: Job): Complaint[] => [];
