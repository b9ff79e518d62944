import { Fault } from "#fault";

const clock = /^([01]\d|2[0-3]):([0-5]\d)$/;

/** `HH:MM` as minutes after midnight. @throws Fault `usage.wrong` */
export const readTimeOption = (name: string, word: string): number => {
  const match = clock.exec(word);
  if (match === null)
    throw new Fault("usage.wrong", `--${name} wants a time as HH:MM, for example 08:30, not "${word}".`);
  return Number(match[1]) * 60 + Number(match[2]);
};

/** `HH:MM-HH:MM` as its beginning and length in minutes. @throws Fault `usage.wrong` */
export const readSpanOption = (name: string, word: string): { readonly from: number; readonly minutes: number } => {
  const parts = word.split("-");
  const [from, to] = parts.map((part) => clock.test(part) && readTimeOption(name, part));
  if (parts.length !== 2 || typeof from !== "number" || typeof to !== "number" || to <= from)
    throw new Fault("usage.wrong", `--${name} wants HH:MM-HH:MM, for example 12:00-12:30, not "${word}".`);
  return { from, minutes: to - from };
};

/** A day as year-month-day. @throws Fault `usage.wrong` */
export const readDayOption = (name: string, word: string): string => {
  const day = /^\d{4}-\d{2}-\d{2}$/.test(word) ? new Date(`${word}T00:00:00Z`) : null;
  if (day === null || Number.isNaN(day.getTime()) || day.toISOString().slice(0, 10) !== word)
    throw new Fault("usage.wrong", `--${name} wants a date as year-month-day, for example 2026-11-25, not "${word}".`);
  return word;
};
