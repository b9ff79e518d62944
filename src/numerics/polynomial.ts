/**
 * Value of c0 + c1·x + c2·x² … by Horner's rule. An empty list is the zero polynomial.
 * Not finite coefficients or arguments give a value that is not finite; the caller judges it.
 */
export const polynomialValue = (coefficients: ArrayLike<number>, x: number): number => {
  let value = 0;
  for (let index = coefficients.length - 1; index >= 0; index -= 1) value = value * x + coefficients[index]!;
  return value;
};

/** Derivative of the same polynomial at x. */
export const polynomialSlope = (coefficients: ArrayLike<number>, x: number): number => {
  let slope = 0;
  for (let index = coefficients.length - 1; index >= 1; index -= 1) slope = slope * x + index * coefficients[index]!;
  return slope;
};
