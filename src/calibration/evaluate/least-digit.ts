const number = /^\s*[+-]?(\d*)\.?(\d*)(?:[eE]([+-]?\d+))?/;

/** People type a decimal comma; instruments put commas between values. Only a single number is taken for the first. */
const withPoint = (text: string): string =>
  /^\s*[+\u2212-]?\d*,\d+\s*$/.test(text) ? text.replace("\u2212", "-").replace(",", ".") : text;

/** What the last digit of a number stands for, as it is written: 0.001 for `+1.38505E+02`. Undefined for other text. */
const digitOf = (text: string): number | undefined => {
  const match = number.exec(withPoint(text));
  if (match === null || (match[1] === "" && match[2] === "")) return undefined;
  return 10 ** (Number(match[3] ?? 0) - match[2]!.length);
};

/**
 * The resolution that a series of written values shows: the finest last digit among them, because instruments leave out
 * zeros at the end. 0 when none of them is a number.
 */
export const leastDigit = (texts: Iterable<string>): number => {
  let finest = Number.POSITIVE_INFINITY;
  for (const text of texts) finest = Math.min(finest, digitOf(text) ?? Number.POSITIVE_INFINITY);
  return Number.isFinite(finest) ? finest : 0;
};
