const isLeap = (year: number): boolean => (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;

const lengthOf = (year: number, month: number): number =>
  month === 2 ? (isLeap(year) ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31;

/** Mean length of a month of the Gregorian calendar, in days. */
export const daysInMonth = 365.2425 / 12;

/** The day so many whole months after a day; where that month is shorter, its last day. */
export const monthsAfter = (day: string, months: number): string => {
  const [year, month, date] = day.slice(0, 10).split("-").map(Number) as [number, number, number];
  const count = year * 12 + (month - 1) + months;
  const [toYear, toMonth] = [Math.floor(count / 12), (count % 12) + 1];
  const toDate = Math.min(date, lengthOf(toYear, toMonth));
  return [String(toYear).padStart(4, "0"), String(toMonth).padStart(2, "0"), String(toDate).padStart(2, "0")].join("-");
};
