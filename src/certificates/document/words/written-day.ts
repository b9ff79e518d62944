/** Turns a day written year-month-day into the words of a language; any other text stays as it is. */
export const writtenDay =
  (write: (day: number, month: number, year: string) => string) =>
  (text: string): string => {
    const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
    if (match === null) return text;
    const [, year, month, day] = match as unknown as [string, string, string, string];
    return Number(month) >= 1 && Number(month) <= 12 ? write(Number(day), Number(month), year) : text;
  };
