/**
 * A number as it stands on paper: significant digits and the power of ten of the last of them. Zeros at the end are digits
 * too. `digits` has no leading zeros unless the number is zero.
 */
export interface PrintedNumber {
  readonly negative: boolean;
  readonly digits: string;
  /** Power of ten of the last digit. */
  readonly last: number;
}

const form = /^\s*([+-]?)(\d*)(?:\.(\d*))?(?:[eE]([+-]?\d{1,3}))?\s*$/;

/** Reads a decimal number as it is written; undefined where the text is none. */
export const printedNumber = (text: string): PrintedNumber | undefined => {
  const parts = form.exec(text.replaceAll("\u2212", "-"));
  if (parts === null) return undefined;
  const [, sign, whole = "", fraction = "", exponent = "0"] = parts;
  if (whole === "" && fraction === "") return undefined;
  const digits = `${whole}${fraction}`.replace(/^0+(?=.)/, "");
  return { negative: sign === "-", digits, last: Number(exponent) - fraction.length };
};

/** The printed form of a double: the shortest digits that stand for it. */
export const printedDouble = (value: number): PrintedNumber =>
  printedNumber(String(value)) ?? { negative: false, digits: "0", last: 0 };

/** The double nearest to a printed number. */
export const numberOf = ({ negative, digits, last }: PrintedNumber): number =>
  Number(`${negative ? "-" : ""}${digits}e${last}`);

/** The same number with more digits at the end, zeros, down to the power of ten `last`. */
export const extendedTo = (number: PrintedNumber, last: number): PrintedNumber =>
  last >= number.last ? number : { ...number, digits: number.digits + "0".repeat(number.last - last), last };

/** Power of ten of the first digit. */
export const leadingPower = ({ digits, last }: PrintedNumber): number => last + digits.length - 1;
