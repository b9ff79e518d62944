import { faultValue } from "#fault";
import { jobConverter, type Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import type { Path } from "../document/place.ts";

/** Whether a sensor's coefficients describe a thermometer; asked by standing it in the reference's place. */
export const sensorComplaint = (
  { kit, ...rest }: Job,
  sensor: Job["kit"]["reference"]["sensor"],
  path: Path,
): Complaint[] => {
  // A switch is no thermometer; what belongs to one is checked with its fields.
  if (sensor.kind === "switch") return [];
  try {
    jobConverter({ ...rest, items: [], kit: { ...kit, reference: { ...kit.reference, sensor } } });
    return [];
  } catch (error) {
    const { code, message } = faultValue(error);
    if (code === "internal") throw error;
    return [{ path, message }];
  }
};
