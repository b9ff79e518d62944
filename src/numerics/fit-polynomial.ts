import { leastSquares, type LeastSquaresFailure, type LeastSquaresFit } from "./least-squares.ts";

export interface PolynomialFitInput {
  readonly x: readonly number[];
  readonly y: readonly number[];
  /** Highest power, 0 to 20. */
  readonly degree: number;
  /** Standard uncertainty of each y; all alike (and unknown) where nothing is said. */
  readonly uncertainties?: readonly number[];
}

const highestDegree = 20;

/** x = (centre + width·u), both with so few binary digits that u and its powers lose nothing to the change of variable. */
interface Variable {
  /** A power of two. */
  readonly width: number;
  /** The centre in sixty-fourths of the width. */
  readonly steps: number;
}
const stepsInWidth = 64;

const variableOf = (x: readonly number[]): Variable => {
  const [least, most] = [Math.min(...x), Math.max(...x)];
  const half = most / 2 - least / 2;
  const width = half > 0 ? 2 ** Math.ceil(Math.log2(half)) : Math.max(Math.abs(most), 1);
  return { width, steps: Math.round(((least / 2 + most / 2) / width) * stepsInWidth) };
};

/** Chebyshev polynomials T0 … Tn at u. */
const chebyshevRow = (u: number, degree: number): number[] => {
  const row = [1, u];
  for (let order = 2; order <= degree; order += 1) row.push(2 * u * row[order - 1]! - row[order - 2]!);
  return row.slice(0, degree + 1);
};

/** Coefficients of T0 … Tn in powers of u: whole numbers. */
const chebyshevCoefficients = (degree: number): bigint[][] => {
  const rows: bigint[][] = [[1n], [0n, 1n]];
  for (let order = 2; order <= degree; order += 1) {
    rows.push(
      Array.from(
        { length: order + 1 },
        (_, power) => 2n * (rows[order - 1]![power - 1] ?? 0n) - (rows[order - 2]![power] ?? 0n),
      ),
    );
  }
  return rows.slice(0, degree + 1);
};

/**
 * What each Chebyshev polynomial is in powers of x: u = (x/width − steps/64), multiplied out in whole numbers and rounded
 * once. In doubles this step would lose what the well-conditioned fit has won.
 */
const inPowersOfX = (degree: number, { width, steps }: Variable): number[][] => {
  const fine = BigInt(stepsInWidth);
  const shift = -BigInt(steps);
  return chebyshevCoefficients(degree).map((row, order) =>
    Array.from({ length: degree + 1 }, (_, power) => {
      if (power > order) return 0;
      let sum = 0n;
      let binomial = 1n;
      for (let index = power; index <= order; index += 1) {
        sum += row[index]! * binomial * shift ** BigInt(index - power) * fine ** BigInt(order - (index - power));
        binomial = (binomial * BigInt(index + 1)) / BigInt(index + 1 - power);
      }
      return Number(sum) / stepsInWidth ** order / width ** power;
    }),
  );
};

const sumOf = (length: number, term: (index: number) => number): number => {
  let sum = 0;
  for (let index = 0; index < length; index += 1) sum += term(index);
  return sum;
};

/**
 * Least-squares polynomial c0 + c1·x + … + cn·xⁿ, fitted in Chebyshev polynomials over the width of the points, where
 * the columns hardly resemble each other, and given in powers of x. Filip of the NIST StRD (degree 10 at x from −9 to
 * −3), the hardest of its kind, comes out to 12 digits. Covariance as of `leastSquares`.
 *
 * Never throws: a degree that is not a whole number from 0 to 20 is "shape", fewer different x than coefficients
 * "not-independent".
 */
export const fitPolynomial = (input: PolynomialFitInput): LeastSquaresFit | LeastSquaresFailure => {
  const { x, y, degree, uncertainties } = input;
  if (!Number.isInteger(degree) || degree < 0 || degree > highestDegree || x.length !== y.length || x.length === 0)
    return { ok: false, reason: "shape" };
  const variable = variableOf(x);
  const centre = (variable.steps / stepsInWidth) * variable.width;
  if (!Number.isFinite(centre)) return { ok: false, reason: "not-finite" };
  if (x.length > degree && new Set(x).size <= degree) return { ok: false, reason: "not-independent" };
  const fit = leastSquares({
    design: x.map((value) => chebyshevRow((value - centre) / variable.width, degree)),
    observations: y,
    ...(uncertainties === undefined ? {} : { uncertainties }),
  });
  if (!fit.ok) return fit;
  const turn = inPowersOfX(degree, variable);
  const width = degree + 1;
  const turned = (matrix: readonly (readonly number[])[]): number[][] => {
    const half = turn[0]!.map((_, power) =>
      matrix.map((row) => sumOf(width, (order) => row[order]! * turn[order]![power]!)),
    );
    return half.map((row) => turn[0]!.map((_, power) => sumOf(width, (order) => row[order]! * turn[order]![power]!)));
  };
  const coefficients = turn[0]!.map((_, power) =>
    sumOf(width, (order) => fit.coefficients[order]! * turn[order]![power]!),
  );
  const covariance = turned(fit.covariance);
  const unscaledCovariance = turned(fit.unscaledCovariance);
  if (![...coefficients, ...unscaledCovariance.flat()].every((value) => Number.isFinite(value)))
    return { ok: false, reason: "not-finite" };
  return {
    ...fit,
    coefficients,
    covariance,
    unscaledCovariance,
    standardErrors: covariance.map((row, index) => Math.sqrt(Math.max(row[index]!, 0))),
  };
};
