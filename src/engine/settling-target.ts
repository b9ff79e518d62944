import { toleranceAt, type Item, type Job } from "#calibration";

/** Where the tolerance is not defined at a point, its error is still measured, to this target, K. */
const targetWithoutTolerance = 0.1;

/** The settling target of an item at a temperature, K: as given, or a fraction of the tolerance there. */
export const settlingTarget = (job: Job, item: Item, temperature: number): number => {
  const { kelvin, fractionOfTolerance } = job.procedure.settling.target;
  if (kelvin !== undefined) return kelvin;
  const limits = toleranceAt(item.tolerance, item, temperature);
  if (!limits.ok || fractionOfTolerance === undefined) return targetWithoutTolerance;
  return fractionOfTolerance * Math.min(Math.abs(limits.value.lower), Math.abs(limits.value.upper));
};
