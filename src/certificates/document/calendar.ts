/** Days since 1970-01-01 of a day of the Gregorian calendar, counted from March so that leap days come last. */
const dayNumber = (year: number, month: number, day: number): number => {
  const shifted = month <= 2 ? year - 1 : year;
  const era = Math.floor(shifted / 400);
  const yearOfEra = shifted - era * 400;
  const dayOfYear = Math.floor((153 * ((month + 9) % 12) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146_097 + dayOfEra - 719_468;
};

const dayText = (number: number): string => {
  const shifted = number + 719_468;
  const era = Math.floor(shifted / 146_097);
  const dayOfEra = shifted - era * 146_097;
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36_524) - Math.floor(dayOfEra / 146_096)) / 365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const shiftedMonth = Math.floor((5 * dayOfYear + 2) / 153);
  const day = dayOfYear - Math.floor((153 * shiftedMonth + 2) / 5) + 1;
  const month = shiftedMonth < 10 ? shiftedMonth + 3 : shiftedMonth - 9;
  const year = yearOfEra + era * 400 + (month <= 2 ? 1 : 0);
  return `${String(year).padStart(4, "0")}-${String(month).padStart(2, "0")}-${String(day).padStart(2, "0")}`;
};

const instant = /^(\d{4})-(\d{2})-(\d{2})T(\d{2}):(\d{2})(?::(\d{2}(?:\.\d+)?))?Z$/;

/**
 * The UTC day that lies so many seconds after an instant of the log (`2026-03-31T09:00:00Z`). Leap seconds are not counted,
 * as they are not in the log's own clock. Text of another shape gives its first ten characters.
 */
export const dayAfter = (opened: string, seconds: number): string => {
  const match = instant.exec(opened);
  if (match === null) return opened.slice(0, 10);
  const [year, month, day, hour, minute, second] = match.slice(1).map((part) => Number(part ?? "0"));
  const inDay = hour! * 3600 + minute! * 60 + second! + seconds;
  return dayText(dayNumber(year!, month!, day!) + Math.floor(inDay / 86_400));
};

/** Whether text is a real day of the calendar, written year-month-day. */
export const isDay = (text: string): boolean => {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  return match !== null && dayText(dayNumber(Number(match[1]), Number(match[2]), Number(match[3]))) === text;
};

/** The same day so many months later, or the last day of that month where it has no such day. */
export const monthsAfter = (day: string, months: number): string => {
  const [year, month, date] = day.split("-").map(Number) as [number, number, number];
  const index = year * 12 + month - 1 + months;
  const [laterYear, laterMonth] = [Math.floor(index / 12), (index % 12) + 1];
  const first = dayNumber(laterYear, laterMonth, 1);
  const length = dayNumber(laterMonth === 12 ? laterYear + 1 : laterYear, (laterMonth % 12) + 1, 1) - first;
  return dayText(first + Math.min(date, length) - 1);
};
