import { failure, success, type Outcome } from "#fault";

/** A value and its expanded uncertainty as they are printed: the same last place, no unit, a plain "-" for minus. */
export interface ReportedValue {
  readonly value: string;
  readonly U: string;
  /** Places after the decimal point; below 0 for a U of a hundred and more, whose last digits are zeros. */
  readonly places: number;
}

/** A finite number as digits × 10^exponent, exactly the digits that stand for it in decimal (the shortest that do). */
interface Decimal {
  readonly negative: boolean;
  readonly digits: string;
  readonly exponent: number;
}

const decimalOf = (value: number): Decimal => {
  const [mantissa, power] = Math.abs(value).toExponential().split("e") as [string, string];
  const [whole, fraction = ""] = mantissa.split(".") as [string, string?];
  return { negative: value < 0, digits: whole + fraction, exponent: Number(power) - fraction.length };
};

/** Rounds to `places` after the point; a half goes away from zero. Digits and zeros only, so nothing is lost in binary. */
const scaledInteger = ({ digits, exponent }: Decimal, places: number): bigint => {
  const shift = exponent + places;
  if (shift >= 0) return BigInt(digits) * 10n ** BigInt(shift);
  if (-shift > digits.length) return 0n;
  const kept = digits.slice(0, digits.length + shift);
  const next = digits.charCodeAt(digits.length + shift) - 48;
  return BigInt(kept === "" ? "0" : kept) + (next >= 5 ? 1n : 0n);
};

const printed = (negative: boolean, scaled: bigint, places: number): string => {
  const sign = negative && scaled !== 0n ? "-" : "";
  if (places <= 0) return `${sign}${scaled === 0n ? "0" : `${scaled}${"0".repeat(-places)}`}`;
  const text = scaled.toString().padStart(places + 1, "0");
  return `${sign}${text.slice(0, -places)}.${text.slice(-places)}`;
};

/** Widest rounding that is asked for: beyond it a number has no digits left. */
const mostPlaces = 400;

/**
 * A number to a decimal place, a half rounded away from zero (ISO 80000-1:2009, B.3, rule B; JCGM 100:2008, 7.2.6). It is
 * rounded as it stands in decimal, so 1.005 to two places is 1.01. Places below 0 round to tens, hundreds …; a zero never
 * has a sign. What is not finite gives a RangeError, because no such number may ever come as far as paper.
 */
export const roundedTo = (value: number, places: number): string => {
  if (!Number.isFinite(value) || !Number.isInteger(places) || Math.abs(places) > mostPlaces) {
    throw new RangeError(`${value} cannot be printed to ${places} places`);
  }
  return printed(value < 0, scaledInteger(decimalOf(value), places), places);
};

export interface ReportedUncertainty {
  readonly U: string;
  readonly places: number;
}

/**
 * An expanded uncertainty to two significant digits, or one (ILAC-P14:09/2020, 5.4): ordinary rounding, but upwards where
 * that would make it smaller by more than 5 % (EA-4/02 M:2022, 6.3, from memory). With two digits this never happens, the
 * worst case being 0.1049 → 0.10; with one it does: 0.14 → 0.2. A carry keeps two digits: 0.0996 → 0.10. A U that is not
 * above 0 and finite cannot be reported: failure `uncertainty.invalid`.
 */
export const reportedUncertainty = (U: number, significant: 1 | 2 = 2): Outcome<ReportedUncertainty> => {
  if (!(U > 0 && U < Number.POSITIVE_INFINITY)) {
    return failure("uncertainty.invalid", "An expanded uncertainty must be above 0 and finite to be reported.", { U });
  }
  const decimal = decimalOf(U);
  let places = significant - (decimal.exponent + decimal.digits.length);
  let scaled = scaledInteger(decimal, places);
  const dropped = -(decimal.exponent + places);
  if (dropped > 0 && 100n * scaled * 10n ** BigInt(dropped) < 95n * BigInt(decimal.digits)) scaled += 1n;
  if (scaled.toString().length > significant) {
    scaled /= 10n;
    places -= 1;
  }
  return success({ U: printed(false, scaled, places), places });
};

/**
 * A value with its expanded uncertainty, both to the place of the second significant digit of U (ILAC-P14:09/2020, 5.4;
 * JCGM 100:2008, 7.2.6). Same unit for both.
 */
export const reported = (value: number, U: number): Outcome<ReportedValue> => {
  if (!Number.isFinite(value))
    return failure("uncertainty.invalid", "A value that is not a finite number cannot be reported.", { value });
  const uncertainty = reportedUncertainty(U);
  return uncertainty.ok
    ? success({
        value: roundedTo(value, uncertainty.value.places),
        U: uncertainty.value.U,
        places: uncertainty.value.places,
      })
    : uncertainty;
};
