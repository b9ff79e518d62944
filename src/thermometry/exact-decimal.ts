/** A decimal number as integer · 10^(−places). */
interface Decimal {
  readonly digits: bigint;
  readonly places: number;
}

const decimalForm = /^([+-]?)(\d*)(?:\.(\d*))?(?:[eE]([+-]?\d+))?$/;

const decimalOf = (text: string): Decimal => {
  const parts = decimalForm.exec(text.trim());
  if (parts === null || (parts[2] === "" && (parts[3] ?? "") === ""))
    throw new RangeError(`"${text}" is not a decimal number`);
  const [, sign, whole = "", fraction = "", exponent = "0"] = parts;
  const digits = BigInt(`${whole}${fraction}`);
  const places = fraction.length - Number(exponent);
  const signed = sign === "-" ? -digits : digits;
  return places >= 0 ? { digits: signed, places } : { digits: signed * 10n ** BigInt(-places), places: 0 };
};

/**
 * The polynomial Σ c[i]·t^i written in u = (t − centre)/width instead, worked out in whole numbers and rounded once.
 *
 * Published coefficients are made for t itself. Far from 0 °C their terms are thousands of times larger than their sum
 * (type T at −270 °C: 8700 mV against 6 mV), and doubles lose that factor. Around the middle of the piece nothing cancels.
 */
export const recentred = (coefficients: readonly string[], centre: string, width: string): Float64Array => {
  const terms = coefficients.map(decimalOf);
  const middle = decimalOf(centre);
  const half = decimalOf(width);
  const degree = terms.length - 1;
  const places = Math.max(...terms.map((term) => term.places));
  const scaled = terms.map((term) => term.digits * 10n ** BigInt(places - term.places));
  return Float64Array.from(terms, (_, power) => {
    let sum = 0n;
    let binomial = 1n;
    for (let index = power; index <= degree; index += 1) {
      // Every term is brought to the same number of decimal places: those of the highest power.
      const lift = 10n ** BigInt(middle.places * (degree - index));
      sum += scaled[index]! * binomial * middle.digits ** BigInt(index - power) * lift;
      binomial = (binomial * BigInt(index + 1)) / BigInt(index + 1 - power);
    }
    const shift = places + middle.places * (degree - power) + half.places * power;
    return Number(`${sum * half.digits ** BigInt(power)}e${-shift}`);
  });
};
