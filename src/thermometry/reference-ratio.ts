import { failure, success, type Outcome } from "#fault";
import { outside } from "./conversion.ts";
import { Curve } from "./curve.ts";
import data from "./data/its-90.json" with { type: "json" };
import { PolynomialPiece } from "./polynomial-piece.ts";

const zeroCelsius = Number(data.zeroCelsius_K);
const triplePoint = Number(data.triplePointOfWater_K);
/** 0.01 °C: where the two reference functions hand over. */
export const triplePointCelsius = 0.01;

const logarithmicVariable = (temperature: number): number =>
  (Math.log((temperature + zeroCelsius) / triplePoint) + 1.5) / 1.5;

/** ln Wr over the variable of equation 9a, and Wr over °C of equation 10a. (T − 754.15)/481 is (t − 481)/481. */
const lowCurve = new Curve([
  new PolynomialPiece(
    { lower: (Math.log(Number(data.low.lower_K) / triplePoint) + 1.5) / 1.5, upper: 1 },
    Float64Array.from(data.low.coefficients, Number),
  ),
]);
const highCurve = new Curve([
  new PolynomialPiece({ lower: 0, upper: 961.78 }, Float64Array.from(data.high.coefficients, Number), {
    centre: 481,
    scale: 1 / 481,
  }),
]);

/** One of the two reference functions of the ITS-90: Wr over t90 in °C, both ways, with its slope per °C. */
export interface ReferenceFunction {
  readonly lower: number;
  readonly upper: number;
  ratio(temperature: number): number;
  slope(temperature: number): number;
  /** The exact inverse of `ratio`, not the published approximation; `outside` beyond the range. */
  temperature(ratio: number): number;
}

/** Equation 9a: 13.8033 K to 273.16 K. */
export const lowReference: ReferenceFunction = {
  lower: Number(data.low.lower_K) - zeroCelsius,
  upper: triplePointCelsius,
  ratio: (temperature) => Math.exp(lowCurve.value(logarithmicVariable(temperature))),
  slope: (temperature) => {
    const x = logarithmicVariable(temperature);
    return (Math.exp(lowCurve.value(x)) * lowCurve.slope(x)) / (1.5 * (temperature + zeroCelsius));
  },
  temperature: (ratio) => {
    const x = lowCurve.solve(Math.log(ratio));
    return x === outside ? outside : triplePoint * Math.exp(1.5 * x - 1.5) - zeroCelsius;
  },
};

/** Equation 10a: 273.15 K to 1234.93 K. */
export const highReference: ReferenceFunction = {
  lower: 0,
  upper: 961.78,
  ratio: (temperature) => highCurve.value(temperature),
  slope: (temperature) => highCurve.slope(temperature),
  temperature: (ratio) => highCurve.solve(ratio),
};

/**
 * The reference ratio Wr at a temperature in °C and its slope per °C (ITS-90, equations 9a and 10a; the lower function
 * below 0.01 °C). From −259.3467 °C to 961.78 °C; outside, and for what is not a number, a failure.
 * Agrees with Table 1 within 5e-9.
 */
export const referenceRatio = (temperature: number): Outcome<{ readonly ratio: number; readonly slope: number }> => {
  if (!(temperature >= lowReference.lower && temperature <= highReference.upper)) {
    return failure(
      "thermometry.out-of-range",
      `The ITS-90 defines Wr from ${lowReference.lower.toFixed(4)} °C to ${highReference.upper} °C. Choose a temperature within.`,
      { temperature, lower: lowReference.lower, upper: highReference.upper },
    );
  }
  const reference = temperature < triplePointCelsius ? lowReference : highReference;
  return success({ ratio: reference.ratio(temperature), slope: reference.slope(temperature) });
};

/** The temperature in °C of a reference ratio: exact inverse of `referenceRatio`, to 1e-9 K. Outside its range a failure. */
export const referenceTemperature = (ratio: number): Outcome<number> => {
  const temperature =
    ratio < highReference.ratio(triplePointCelsius)
      ? lowReference.temperature(ratio)
      : highReference.temperature(ratio);
  if (Number.isFinite(temperature)) return success(temperature);
  return failure(
    "thermometry.out-of-range",
    "This ratio lies outside what the ITS-90 defines. Check the resistance and the resistance at the triple point of water.",
    {
      ratio,
      lower: lowReference.ratio(lowReference.lower),
      upper: highReference.ratio(highReference.upper),
    },
  );
};
