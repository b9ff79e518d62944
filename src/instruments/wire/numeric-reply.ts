/**
 * A number as an IEEE 488.2 instrument answers it. `digits` is the text that came, without blanks around it.
 * Forms: NR1 whole number, NR2 decimal point, NR3 exponent (IEEE 488.2 8.7.2 to 8.7.4). SCPI-1999 7.2.1.4 and .5 give the
 * number 9.9E37 the meaning infinity (negative: minus infinity) and 9.91E37 the meaning "not a number".
 */
export type NumericReply =
  | { readonly kind: "number"; readonly form: "NR1" | "NR2" | "NR3"; readonly digits: string; readonly value: number }
  | { readonly kind: "infinity"; readonly sign: 1 | -1; readonly digits: string }
  | { readonly kind: "not-a-number"; readonly digits: string }
  | { readonly kind: "malformed"; readonly digits: string };

const numeric = /^([+-]?)(\d+\.?\d*|\.\d+)(?:[Ee]([+-]?\d{1,4}))?$/;

/** Reads one number; anything else on the line, a unit or a second value included, makes it malformed. */
export const parseNumericReply = (line: string): NumericReply => {
  const digits = line.trim();
  const match = numeric.exec(digits);
  if (match === null) return { kind: "malformed", digits };
  const [, sign, mantissa, exponent] = match;
  const magnitude = Number(exponent === undefined ? mantissa : `${mantissa}e${exponent}`);
  if (magnitude === 9.91e37) return { kind: "not-a-number", digits };
  if (magnitude >= 9.9e37) return { kind: "infinity", sign: sign === "-" ? -1 : 1, digits };
  const form = exponent !== undefined ? "NR3" : mantissa!.includes(".") ? "NR2" : "NR1";
  return { kind: "number", form, digits, value: sign === "-" ? -magnitude : magnitude };
};

/**
 * The number with its decimal point moved `places` to the right, worked out on the digits: "0.0161234" moved by 3 is
 * 16.1234 exactly as if it had been written so, not 16.123400000000002.
 */
export const shiftDecimal = (digits: string, places: number): number => {
  if (places === 0) return Number(digits);
  const [mantissa, exponent] = digits.split(/[Ee]/);
  return Number(`${mantissa}e${Number(exponent ?? 0) + places}`);
};
