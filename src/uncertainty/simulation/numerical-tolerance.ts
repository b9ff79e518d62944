/**
 * The numerical tolerance δ that goes with a standard uncertainty of which `digits` significant digits mean something:
 * half a unit of the last of them (JCGM 101:2008, 7.9.2). u = 0.000 35 with two digits: 0.000 005. 0 for u = 0.
 */
export const numericalTolerance = (u: number, digits = 2): number => {
  if (!(u > 0)) return 0;
  const exponent = Number(u.toExponential(digits - 1).split("e")[1]);
  return 0.5 * 10 ** (exponent - digits + 1);
};
