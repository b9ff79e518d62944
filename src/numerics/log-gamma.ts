/** Coefficients of Stirling's series, B(2k)/(2k(2k−1)): Abramowitz and Stegun 6.1.41. */
const stirling = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156];
const seriesFrom = 16;

/**
 * What Stirling's formula leaves out: ln Γ(z) − [(z − 1/2) ln z − z + ln(2π)/2], for z > 0.
 * Small arguments are carried up by the recurrence of Γ, so the absolute error stays near 1e-16.
 */
export const stirlingRemainder = (z: number): number => {
  let carried = 0;
  let up = z;
  while (up < seriesFrom) {
    carried += (up + 0.5) * Math.log1p(1 / up) - 1;
    up += 1;
  }
  const inverse = 1 / up;
  const square = inverse * inverse;
  let sum = 0;
  for (let index = stirling.length - 1; index >= 0; index -= 1) sum = sum * square + stirling[index]!;
  return carried + sum * inverse;
};

/** ln Γ(z) for z > 0; NaN otherwise. */
export const logGamma = (z: number): number => {
  if (!(z > 0)) return Number.NaN;
  if (z === 1 || z === 2) return 0;
  return (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + stirlingRemainder(z);
};

/** Γ(z + 1/2)/Γ(z) for z > 0: the factor in Student's density. Relative precision about 1e-15 for any z. */
export const gammaHalfRatio = (z: number): number => {
  if (!(z > 0)) return Number.NaN;
  if (z === Number.POSITIVE_INFINITY) return z;
  let factor = 1;
  let up = z;
  while (up < seriesFrom) {
    factor *= up / (up + 0.5);
    up += 1;
  }
  // z^z and its like cancel analytically: (z+1/2)^z / z^z = exp(z·ln(1+1/(2z))), which is close to e^(1/2).
  const exponent = up * Math.log1p(0.5 / up) - 0.5 + stirlingRemainder(up + 0.5) - stirlingRemainder(up);
  return factor * Math.sqrt(up) * Math.exp(exponent);
};
