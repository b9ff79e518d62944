import { failure, success, type FaultValue, type Outcome } from "#fault";
import type { Kit, KitCalibration, Reference } from "../job/kit.ts";
import { calendarDay, type CalendarDay } from "./calendar-day.ts";

/**
 * How far beyond its range a reference may read, K: a set point at the end of the range must not be refused because the
 * source stands a little off (common practice, no source).
 */
const rangeSlack = 1;

const calibrationFault = (what: string, id: string, calibration: KitCalibration, day: CalendarDay): FaultValue | undefined => {
  const { certificate, date, due } = calibration;
  if (day >= calendarDay(date) && day <= calendarDay(due)) return undefined;
  const words = `The ${what} ${id} was out of calibration: certificate ${certificate} holds from ${date} to ${due}. Have it calibrated, then judge these readings with the new certificate.`;
  return failure("kit.out-of-calibration", words, { id, certificate, date, due }).fault;
};

/** Kit entries whose own calibration does not cover the day (the due day is still covered). */
export const kitOutOfCalibration = ({ reference, readout }: Kit, day: CalendarDay): FaultValue[] =>
  [
    calibrationFault("reference", reference.id, reference.calibration, day),
    calibrationFault("readout", readout.id, readout.calibration, day),
  ].filter((fault) => fault !== undefined);

/** A reference measures only within the range of its calibration, °C. */
export const referenceInRange = ({ id, range }: Reference, nominal: number, temperature: number): Outcome<null> => {
  const covered = (value: number, slack: number): boolean => value >= range.minimum - slack && value <= range.maximum + slack;
  if (covered(nominal, 0) && covered(temperature, rangeSlack)) return success(null);
  return failure("kit.out-of-range", `The reference ${id} is calibrated from ${range.minimum} °C to ${range.maximum} °C; this point is at ${temperature.toFixed(2)} °C. Use a reference that covers it.`, {
    id,
    temperature,
    ...range,
  });
};
