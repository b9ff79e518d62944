import { failure, success, type Outcome } from "#fault";
import { leastSquares, type LeastSquaresFailure, type LeastSquaresFit } from "#numerics";
import type { CurveFit } from "./curve-fit.ts";

/** A model brought to linear form and solved, with the way back to the coefficients that people use. */
export interface LinearSolution {
  readonly names: readonly string[];
  readonly coefficients: readonly number[];
  readonly fit: LeastSquaresFit;
  /** How the reported coefficients move with the linear ones, a row each. */
  readonly jacobian: readonly (readonly number[])[];
  /** Change of the linear coefficients when the observations change by these amounts. */
  shift(changes: readonly number[]): readonly number[];
  readonly sensor: CurveFit["sensor"];
  /** Signal per °C of the fitted curve. */
  slopeAt(temperature: number): number;
  readonly notes: readonly string[];
}

type Solver = (observations: readonly number[]) => LeastSquaresFit | LeastSquaresFailure;

/** What went wrong in words: how many points it takes, or that the points do not tell the coefficients apart. */
const impossible = ({ reason }: LeastSquaresFailure, points: number, names: readonly string[]): Outcome<never> => {
  const wanted = `${names.length} coefficients (${names.join(", ")})`;
  const message =
    reason === "too-few-observations"
      ? `${points} point${points === 1 ? " does" : "s do"} not determine ${wanted}. Give ${names.length} points or more, or fit fewer coefficients.`
      : reason === "not-independent"
        ? `These points do not tell ${wanted} apart: too few different temperatures, or too close together. Spread the points, or fit fewer coefficients.`
        : `The numbers of these points are too large or too small to be fitted (${reason}). Check units and powers of ten.`;
  return failure("fit.impossible", message, { points, coefficients: names, reason });
};

/** A fit by any solver that is linear in the observations, or the sentence that says why there is none. */
export const solved = (
  solver: Solver,
  observations: readonly number[],
  names: readonly string[],
): Outcome<Pick<LinearSolution, "fit" | "shift">> => {
  const fit = solver(observations);
  if (!fit.ok) return impossible(fit, observations.length, names);
  return success({
    fit,
    shift: (changes) => {
      const moved = solver(changes);
      return moved.ok ? moved.coefficients : names.map(() => Number.NaN);
    },
  });
};

/** The solver of one design; weights are the points' own uncertainties. */
export const designSolver =
  (design: readonly (readonly number[])[], uncertainties: readonly number[] | undefined): Solver =>
  (observations) =>
    leastSquares({ design, observations, ...(uncertainties === undefined ? {} : { uncertainties }) });

/** Jacobian of (p0, p1/p0, p2/p0 …) with respect to p: a scale and shape parameters. */
export const scaleAndShape = (
  parameters: readonly number[],
): { readonly coefficients: number[]; readonly jacobian: number[][] } => {
  const scale = parameters[0]!;
  const coefficients = parameters.map((value, index) => (index === 0 ? value : value / scale));
  const jacobian = parameters.map((_, row) =>
    parameters.map((__, column) => {
      if (row === 0) return column === 0 ? 1 : 0;
      if (column === 0) return -coefficients[row]! / scale;
      return row === column ? 1 / scale : 0;
    }),
  );
  return { coefficients, jacobian };
};

/** The Jacobian of coefficients that are the linear ones themselves. */
export const unchanged = (size: number): number[][] =>
  Array.from({ length: size }, (_, row) => Array.from({ length: size }, (__, column) => (row === column ? 1 : 0)));
