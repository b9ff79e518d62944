import { referenceRatio } from "./reference-ratio.ts";
import { aluminiumPoint, type Subrange } from "./subrange.ts";

/** Coefficients of a subrange that a calibration determines; W_Al of subrange 6 follows from them. */
export const fittedCoefficients = (subrange: Subrange): readonly string[] =>
  subrange.coefficients.filter((name) => name !== "W_Al");

/** Wr at the aluminium point: where the last term of subrange 6 begins, before a thermometer's own W is known. */
export const aluminiumRatio = (): number => {
  const outcome = referenceRatio(aluminiumPoint);
  return outcome.ok ? outcome.value.ratio : Number.NaN;
};

/**
 * What each coefficient of a subrange is multiplied by in W − Wr at the ratio W (ITS-90, clauses 3.3.1 to 3.3.3), in the
 * order of `fittedCoefficients`. `aluminium` is the thermometer's own W at 660.323 °C; only subrange 6 looks at it.
 */
export const deviationBasis = (subrange: Subrange, ratio: number, aluminium = Number.POSITIVE_INFINITY): number[] => {
  const w = ratio - 1;
  const log = Math.log(ratio);
  return fittedCoefficients(subrange).map((name) => {
    if (name === "a") return w;
    if (name === "b") return subrange.number === 4 ? w * log : w * w;
    if (name === "c") return w * w * w;
    if (name === "d") return ratio > aluminium ? (ratio - aluminium) ** 2 : 0;
    return log ** (Number(name.slice(1)) + (subrange.logarithmPower ?? 0));
  });
};
