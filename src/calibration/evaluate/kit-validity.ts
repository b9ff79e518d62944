import { failure, success, type FaultValue, type Outcome } from "#fault";
import type { Kit, KitCalibration, Reference } from "../job/kit.ts";
import type { TableFigure } from "../job/table.ts";
import { calendarDay, dayAfter, type CalendarDay } from "./calendar-day.ts";

/**
 * How far beyond its range a reference may read, K: a set point at the end of the range must not be refused because the
 * source stands a little off (common practice, no source).
 */
const rangeSlack = 1;

const calibrationFault = (
  what: string,
  id: string,
  calibration: KitCalibration,
  day: CalendarDay,
): FaultValue | undefined => {
  const { certificate, date, due } = calibration;
  if (day >= calendarDay(date) && day <= calendarDay(due)) return undefined;
  const words = `The ${what} ${id} was out of calibration: certificate ${certificate} holds from ${date} to ${due}. Have it calibrated, then judge these readings with the new certificate.`;
  return failure("kit.out-of-calibration", words, { id, certificate, date, due }).fault;
};

/** Whether a calibration covers the day on which it is `at` seconds after `opened` (UTC); the due day is still covered. */
export const coversDay = ({ date, due }: KitCalibration, opened: string, at: number): boolean => {
  const day = dayAfter(opened, at);
  return day >= calendarDay(date) && day <= calendarDay(due);
};

/** Kit entries whose own calibration does not cover the day (the due day is still covered). */
export const kitOutOfCalibration = ({ reference, readout }: Kit, day: CalendarDay): FaultValue[] =>
  [
    calibrationFault("reference", reference.id, reference.calibration, day),
    calibrationFault("readout", readout.id, readout.calibration, day),
  ].filter((fault) => fault !== undefined);

/** Whether a figure is known at a temperature: everywhere if it is one number, else between the ends of its table. */
const tableReaches = (figure: TableFigure, temperature: number): boolean =>
  typeof figure === "number" ||
  (temperature >= figure[0]!.temperature - rangeSlack &&
    temperature <= figure[figure.length - 1]!.temperature + rangeSlack);

/** Tables of the kit that end before a temperature, in words; their end row is used there, and the result says so. */
export const tablesThatEnd = ({ reference, source }: Kit, temperature: number): string[] =>
  (
    [
      [`calibration of ${reference.id}`, reference.calibration.uncertainty],
      [`interpolation of ${reference.id}`, reference.interpolation],
      [`axial figure of ${source.id}`, source.axial],
      [`radial figure of ${source.id}`, source.radial],
      [`loading figure of ${source.id}`, source.loading],
    ] as const
  )
    .filter(([, figure]) => !tableReaches(figure, temperature))
    .map(
      ([what]) =>
        `kit.out-of-range: The table for the ${what} does not reach ${temperature.toFixed(1)} °C; its nearest row was used.`,
    );

/** A reference measures only within the range of its calibration, °C. */
export const referenceInRange = ({ id, range }: Reference, nominal: number, temperature: number): Outcome<null> => {
  const covered = (value: number, slack: number): boolean =>
    value >= range.minimum - slack && value <= range.maximum + slack;
  if (covered(nominal, 0) && covered(temperature, rangeSlack)) return success(null);
  return failure(
    "kit.out-of-range",
    `The reference ${id} is calibrated from ${range.minimum} °C to ${range.maximum} °C; this point is at ${temperature.toFixed(2)} °C. Use a reference that covers it.`,
    {
      id,
      temperature,
      ...range,
    },
  );
};
