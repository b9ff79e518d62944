import data from "./data/its-90.json" with { type: "json" };

/** One of the eleven resistance-thermometer subranges of the ITS-90. */
export interface Subrange {
  readonly number: number;
  /** Clause of the ITS-90 text. */
  readonly clause: string;
  /** Range of use, °C. */
  readonly lower: number;
  readonly upper: number;
  /** Coefficients that a certificate must give; W_Al of subrange 6 follows from the others where it is not given. */
  readonly coefficients: readonly string[];
  /** Power that the first logarithmic term has, less one (n of the ITS-90 text); subranges 1 to 3 only. */
  readonly logarithmPower?: number;
  /** Fixed points at which the thermometer is calibrated. */
  readonly fixedPoints: readonly string[];
}

const zeroCelsius = Number(data.zeroCelsius_K);
/** K to °C without the crumbs that a subtraction of doubles leaves: the ITS-90 prints four decimals. */
const celsiusOf = (kelvin: string): number => Math.round((Number(kelvin) - zeroCelsius) * 1e4) / 1e4;

export const subranges: readonly Subrange[] = data.subranges.map((entry) => ({
  number: entry.subrange,
  clause: entry.clause,
  lower: celsiusOf(entry.lower_K),
  upper: celsiusOf(entry.upper_K),
  coefficients: entry.coefficients,
  ...("logarithmPower" in entry ? { logarithmPower: entry.logarithmPower as number } : {}),
  fixedPoints: entry.fixedPoints,
}));

/** The subrange with this number, or undefined. */
export const subrangeOf = (number: number): Subrange | undefined =>
  subranges.find((subrange) => subrange.number === number);

/** Temperature of the aluminium point, °C: where the last term of subrange 6 begins. */
export const aluminiumPoint = celsiusOf(data.aluminium_K);
