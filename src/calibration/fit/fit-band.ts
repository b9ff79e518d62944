import { failure, success, type Outcome } from "#fault";
import { polynomialSlope, polynomialValue } from "#numerics";
import { prepare, type PreparedSensor, type Sensor } from "#thermometry";
import type { CurveFit } from "./curve-fit.ts";
import { coefficientsOf, withCoefficients } from "./sensor-coefficients.ts";

/** The fitted curve at a temperature with its standard uncertainty, in the unit of the signal and in K. */
export interface Band {
  readonly temperature: number;
  readonly signal: number;
  /** Signal per °C. */
  readonly slope: number;
  /** Standard uncertainty of the curve's signal there. */
  readonly u: number;
  /** The same as a temperature, u over the slope, in K. */
  readonly kelvin: number;
}

/** Coefficients by name and their covariance, rows in the order of the names. */
export interface CoefficientCovariance {
  readonly names: readonly string[];
  readonly covariance: readonly (readonly number[])[];
}

/** What rounding may leave of a sum of large terms of either sign, as a share of those terms. */
const rounding = 1e-9;

/** √(fᵀ·C·f). A covariance that rounding has made a little negative counts as none; one that cannot be gives NaN. */
const quadratic = (covariance: CoefficientCovariance["covariance"], gradient: readonly number[]): number => {
  let sum = 0;
  let size = 0;
  for (const [row, values] of covariance.entries()) {
    for (const [column, value] of values.entries()) {
      const term = gradient[row]! * value * gradient[column]!;
      sum += term;
      size += Math.abs(term);
    }
  }
  return sum < -rounding * size ? Number.NaN : Math.sqrt(Math.max(sum, 0));
};

/** Two sensors a step of one coefficient apart on either side; smaller steps where a large one is no thermometer. */
interface Neighbours {
  readonly below: PreparedSensor;
  readonly above: PreparedSensor;
  readonly step: number;
}
const stepShares = [1, 1e-2, 1e-4, 1e-6] as const;

const neighboursOf = (sensor: Sensor, name: string, value: number, sigma: number): Neighbours | undefined => {
  for (const share of stepShares) {
    const step = sigma * share;
    const below = prepare(withCoefficients(sensor, new Map([[name, value - step]])));
    const above = prepare(withCoefficients(sensor, new Map([[name, value + step]])));
    if (below.ok && above.ok) return { below: below.value, above: above.value, step };
  }
  return undefined;
};

const invalid = (message: string): Outcome<never> => failure("uncertainty.invalid", message);

/**
 * The uncertainty that a sensor's signal has from the covariance of its coefficients, at any temperature of its range:
 * u² = fᵀ·C·f with f the derivatives of the signal by the coefficients (JCGM 100:2008, 5.2.2), taken as differences, which
 * is exact where the signal is linear in them. A coefficient that is not named counts as exact.
 */
export const coefficientBand = (
  sensor: Sensor,
  { names, covariance }: CoefficientCovariance,
): Outcome<(temperature: number) => Outcome<Band>> => {
  const square = covariance.length === names.length && covariance.every((row) => row.length === names.length);
  if (!square || names.length === 0 || !covariance.flat().every((value) => Number.isFinite(value)))
    return invalid("A covariance must be a square table of finite numbers, a row and a column for each coefficient.");
  const nominal = prepare(sensor);
  if (!nominal.ok) return nominal;
  const known = new Map(coefficientsOf(sensor).map(({ name, value }) => [name, value]));
  const neighbours: (Neighbours | undefined)[] = [];
  for (const [index, name] of names.entries()) {
    const value = known.get(name);
    const variance = covariance[index]![index]!;
    if (value === undefined)
      return invalid(
        `The sensor has no coefficient "${name}"; its coefficients are ${[...known.keys()].join(", ") || "none"}.`,
      );
    if (variance < 0) return invalid(`The variance of the coefficient "${name}" is negative.`);
    const around = variance === 0 ? undefined : neighboursOf(sensor, name, value, Math.sqrt(variance));
    if (variance > 0 && around === undefined)
      return invalid(`The variance of the coefficient "${name}" is so large that it leaves no thermometer.`);
    neighbours.push(around);
  }
  return success((temperature) => {
    const at = nominal.value.signal(temperature);
    if (!at.ok) return at;
    const gradient = neighbours.map((around) => {
      if (around === undefined) return 0;
      const [below, above] = [around.below.signal(temperature), around.above.signal(temperature)];
      return below.ok && above.ok ? (above.value.signal - below.value.signal) / (2 * around.step) : Number.NaN;
    });
    if (!gradient.every((value) => Number.isFinite(value)))
      return invalid(`The coefficients' uncertainty cannot be followed to ${temperature} °C.`);
    const u = quadratic(covariance, gradient);
    if (Number.isNaN(u))
      return invalid(
        `This covariance is impossible: at ${temperature} °C it gives a negative variance. Check its signs.`,
      );
    return success({ ...at.value, u, kelvin: u / Math.abs(at.value.slope) });
  });
};

const polynomialBand = (
  { coefficients }: CurveFit,
  covariance: CoefficientCovariance["covariance"],
  temperature: number,
): Outcome<Band> => {
  const slope = polynomialSlope(coefficients, temperature);
  const u = quadratic(
    covariance,
    coefficients.map((_, power) => temperature ** power),
  );
  return success({
    temperature,
    signal: polynomialValue(coefficients, temperature),
    slope,
    u,
    kelvin: u / Math.abs(slope),
  });
};

/**
 * The band of a fitted curve: a function that gives it at each temperature of the fit's range. u holds what the points share
 * in full. Failures: `fit.impossible` where the fit has no covariance, `thermometry.out-of-range` beyond its points.
 */
export const bandOf = (fit: CurveFit): Outcome<(temperature: number) => Outcome<Band>> => {
  const { names, covariance, range, sensor } = fit;
  if (covariance === null)
    return failure(
      "fit.impossible",
      "This fit has as many points as coefficients and no stated uncertainties: nothing is left from which its band could be worked out.",
    );
  const outcome =
    sensor === null
      ? success((temperature: number) => polynomialBand(fit, covariance, temperature))
      : coefficientBand(sensor, { names, covariance });
  if (!outcome.ok) return outcome;
  return success((temperature) =>
    temperature >= range.lower && temperature <= range.upper
      ? outcome.value(temperature)
      : failure(
          "thermometry.out-of-range",
          `The points of this fit reach from ${range.lower} °C to ${range.upper} °C; at ${temperature} °C its uncertainty is not known.`,
          { temperature, lower: range.lower, upper: range.upper },
        ),
  );
};

/** The band at one temperature; see `bandOf`, which is to be preferred for many. */
export const fitBand = (fit: CurveFit, temperature: number): Outcome<Band> => {
  const band = bandOf(fit);
  return band.ok ? band.value(temperature) : band;
};
