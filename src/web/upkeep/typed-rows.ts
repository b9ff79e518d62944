import type { ShownStep } from "#contract";

export type Columns = NonNullable<ShownStep["read"]>["columns"];

export interface ReadRows {
  readonly readings: Readonly<Record<string, number[]>>;
  readonly count: number;
  /** What is wrong with the first wrong line; null where nothing is. */
  readonly wrong: string | null;
}

/** A number as people type it; a comma for the point is taken. */
export const readNumber = (word: string): number | null => {
  const plain = word.trim().replace(",", ".").replace("−", "-");
  return /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/.test(plain) ? Number(plain) : null;
};

/**
 * Lines of typed or pasted readings: seconds, then a value for each column, with spaces, tabs or semicolons between. Empty lines
 * do not count; the first wrong line is said with its number.
 */
export const readRows = (text: string, columns: Columns): ReadRows => {
  const readings: Record<string, number[]> = { time: [], ...Object.fromEntries(columns.map(({ name }) => [name, []])) };
  let count = 0;
  for (const [index, line] of text.split("\n").entries()) {
    if (line.trim() === "") continue;
    const words = line.trim().split(/[\s;]+/);
    const numbers = words.map(readNumber);
    if (words.length !== columns.length + 1 || numbers.includes(null))
      return {
        readings,
        count,
        wrong: `Line ${index + 1} must be the seconds and ${columns.length === 1 ? "one value" : `${columns.length} values`}: ${columns.map(({ label, unit }) => `${label}, ${unit}`).join("; ")}.`,
      };
    readings["time"]!.push(numbers[0]!);
    for (const [column, { name }] of columns.entries()) readings[name]!.push(numbers[column + 1]!);
    count += 1;
  }
  return { readings, count, wrong: null };
};
