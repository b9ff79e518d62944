/**
 * A day of the proleptic Gregorian calendar as a count of days from 1970-01-01. Evaluation needs nothing more of time
 * than how many days lie between two dates, and pure rooms have no clock.
 */
export type CalendarDay = number;

const daysBeforeMonth = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334] as const;
const isLeap = (year: number): boolean => (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
const daysBeforeYear = (year: number): number => {
  const past = year - 1;
  return past * 365 + Math.floor(past / 4) - Math.floor(past / 100) + Math.floor(past / 400);
};
const epoch = daysBeforeYear(1970);

/** The day of a date `2026-03-31` or of a time in UTC that begins with one. The schema has checked the form. */
export const calendarDay = (date: string): CalendarDay => {
  const [year, month, day] = date.slice(0, 10).split("-").map(Number) as [number, number, number];
  return daysBeforeYear(year) - epoch + daysBeforeMonth[month - 1]! + (month > 2 && isLeap(year) ? 1 : 0) + day - 1;
};

/** The day in UTC on which it is `seconds` after the time `opened` (`2026-03-31T08:15:00Z`). */
export const dayAfter = (opened: string, seconds: number): CalendarDay => {
  const [hours, minutes, rest] = opened.slice(11).replace("Z", "").split(":").map(Number) as [number, number, number?];
  return calendarDay(opened) + Math.floor((hours * 3600 + minutes * 60 + (rest ?? 0) + seconds) / 86_400);
};

/** Mean length of a year of the Gregorian calendar, in days. */
export const daysInYear = 365.2425;
