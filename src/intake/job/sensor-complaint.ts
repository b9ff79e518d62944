import { faultValue } from "#fault";
import { jobConverter, type Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import type { Path } from "../document/place.ts";

/** Whether the one sensor that a job is left with can be worked in; its coefficients may describe no thermometer. */
export const sensorComplaint = (job: Job, path: Path): Complaint[] => {
  try {
    jobConverter(job);
    return [];
  } catch (error) {
    const { code, message } = faultValue(error);
    if (code === "internal") throw error;
    return [{ path, message }];
  }
};
