export { incompleteBeta, incompleteBetaPair, type BetaPair } from "./incomplete-beta.ts";
export { gammaHalfRatio, logGamma } from "./log-gamma.ts";
export { normalCdf, normalDensity, normalQuantile } from "./normal.ts";
export { studentCdf, studentDensity, studentQuantile } from "./student.ts";
export { findRoot, type RootOptions } from "./find-root.ts";
export {
  leastSquares,
  type LeastSquaresFailure,
  type LeastSquaresFit,
  type LeastSquaresInput,
} from "./least-squares.ts";
export { fitPolynomial, type PolynomialFitInput } from "./fit-polynomial.ts";
export { choleskyFactor } from "./cholesky.ts";
export { restoredGenerator, seededGenerator, type Generator, type GeneratorState } from "./seeded-generator.ts";
export { polynomialSlope, polynomialValue } from "./polynomial.ts";
export { compensatedSum } from "./compensated-sum.ts";
