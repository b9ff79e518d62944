import { failure, success, type Outcome } from "#fault";
import type { CurveFit, FitInput, FitModel, FitPoint } from "./curve-fit.ts";
import type { LinearSolution } from "./linear-solution.ts";
import { callendarVanDusenModel, scaleModel } from "./platinum-models.ts";
import { polynomialModel, thermocoupleDeviationModel } from "./polynomial-models.ts";

const models: Readonly<
  Record<FitModel, (input: FitInput, uncertainties: readonly number[] | undefined) => Outcome<LinearSolution>>
> = {
  "callendar-van-dusen": callendarVanDusenModel,
  "its-90": scaleModel,
  polynomial: polynomialModel,
  "thermocouple-deviation": thermocoupleDeviationModel,
};

const invalid = (message: string, data: Readonly<Record<string, unknown>>): Outcome<never> =>
  failure("input.invalid", message, data);

/** Negative, infinite or not a number. */
const notMagnitude = (value: number | undefined): boolean =>
  value !== undefined && !(value >= 0 && value < Number.POSITIVE_INFINITY);

/** The points' own uncertainties, or undefined where none has any. */
const uncertaintiesOf = (points: readonly FitPoint[]): Outcome<readonly number[] | undefined> => {
  if (points.length === 0) return failure("fit.impossible", "There are no points to fit.");
  const uncertainties: number[] = [];
  for (const [index, { x, y, u, common }] of points.entries()) {
    const point = index + 1;
    if (!Number.isFinite(x) || !Number.isFinite(y))
      return invalid(`Point ${point}: x and y must be finite numbers.`, { point });
    if (u !== undefined && !(u > 0 && u < Number.POSITIVE_INFINITY))
      return invalid(
        `Point ${point}: u must be above 0 and finite; no measurement is free of uncertainty. Leave u out at all points where it is not known.`,
        {
          point,
        },
      );
    if (notMagnitude(common)) return invalid(`Point ${point}: common must be 0 or more, and finite.`, { point });
    if (u !== undefined) uncertainties.push(u);
  }
  if (uncertainties.length !== 0 && uncertainties.length !== points.length) {
    const point = points.findIndex(({ u }) => u === undefined) + 1;
    return invalid(
      `Point ${point} has no u, but others have: the weights would not be known. Give u at every point or at none.`,
      { point },
    );
  }
  return success(uncertainties.length === 0 ? undefined : uncertainties);
};

/** Each cause that all points share, as what one standard uncertainty of it does to the signal at each of them. */
const commonCauses = ({ points, common }: FitInput, slopeAt: (temperature: number) => number): number[][] => {
  const { x = 0, y = 0 } = common ?? {};
  return [
    points.map((point) => x * slopeAt(point.x)),
    points.map(() => y),
    points.map((point) => point.common ?? 0),
  ].filter((cause) => cause.some((change) => change !== 0));
};

const times = (matrix: readonly (readonly number[])[], vector: readonly number[]): number[] =>
  matrix.map((row) => row.reduce((sum, value, index) => sum + value * vector[index]!, 0));

/**
 * Covariance of the reported coefficients: the points' own parts as the fit gives them, and for each common cause the
 * square of what it does to the coefficients as a whole, not divided by any number of points (JCGM 100:2008, 5.2.2).
 */
const covarianceOf = (solution: LinearSolution, causes: readonly (readonly number[])[]): number[][] => {
  const { jacobian, fit } = solution;
  const half = jacobian.map((row) => times(fit.covariance, row));
  const own = half.map((row) => times(jacobian, row));
  const shifts = causes.map((cause) => times(jacobian, solution.shift(cause)));
  return own.map((row, i) =>
    row.map((value, j) => shifts.reduce((sum, shift) => sum + shift[i]! * shift[j]!, (value + own[j]![i]!) / 2)),
  );
};

/** A term that the points hardly see: c, where no point lies far below 0 °C. */
const undetermined = (
  names: readonly string[],
  coefficients: readonly number[],
  errors: readonly number[] | null,
): string[] =>
  names.flatMap((name, index) =>
    name === "c" && errors !== null && errors[index]! > Math.abs(coefficients[index]!)
      ? [
          "The term below 0 °C is hardly determined by these points: its coefficient's standard error is larger than the coefficient. Between the points the curve holds all the same, with its uncertainty.",
        ]
      : [],
  );

/** 95 % point of χ²/ν (Wilson and Hilferty 1931): how much a sound fit may scatter beyond its uncertainties. */
const largestRatio = (dof: number): number => {
  const share = 2 / (9 * dof);
  return Math.sqrt((1 - share + 1.645 * Math.sqrt(share)) ** 3);
};

const notesOf = ({ fit, notes }: LinearSolution, weighted: boolean): string[] => {
  const { degreesOfFreedom: dof, residualStandardDeviation: scatter } = fit;
  if (dof === 0) {
    return [
      ...notes,
      weighted
        ? "As many points as coefficients: the curve passes through every point and nothing is left to judge the fit by. The standard errors rest on the stated u alone."
        : "As many points as coefficients: the curve passes through every point and nothing is left to judge the fit by. Give more points, or the u of each.",
    ];
  }
  return weighted && scatter > largestRatio(dof)
    ? [
        ...notes,
        `The points scatter about the curve ${scatter.toPrecision(2)} times as much as their u says: u is too small, a point is wrong, or the model does not fit.`,
      ]
    : [...notes];
};

/**
 * Fits one of the `fitModels` to calibration points by weighted least squares, weights 1/u² (JCGM 100:2008, H.3, for the
 * straight line). Temperatures in °C, signals in Ω or mV. With u at every point the covariance follows from them; without,
 * from the scatter of the points. What all points share is added on top and never averaged down.
 *
 * Failures, as values: `input.invalid` (a number or field that cannot be), `thermometry.out-of-range` (a point outside the
 * model's range), `fit.impossible` (too few points, points that do not tell the coefficients apart, a curve that is not
 * that of the sensor).
 */
export const fitCurve = (input: FitInput): Outcome<CurveFit> => {
  const { model, points, common } = input;
  if (!Object.hasOwn(models, model))
    return invalid(`There is no model "${model}". Use one of ${Object.keys(models).join(", ")}.`, { field: "model" });
  if (notMagnitude(common?.x) || notMagnitude(common?.y))
    return invalid('"common": x (K) and y (unit of the signal) must be 0 or more, and finite.', { field: "common" });
  const uncertainties = uncertaintiesOf(points);
  if (!uncertainties.ok) return uncertainties;
  const outcome = models[model](input, uncertainties.value);
  if (!outcome.ok) return outcome;
  const solution = outcome.value;
  const { fit } = solution;
  const weighted = uncertainties.value !== undefined;
  const judged = weighted || fit.degreesOfFreedom > 0;
  const covariance = judged ? covarianceOf(solution, commonCauses(input, solution.slopeAt)) : null;
  if (covariance !== null && !covariance.flat().every((value) => Number.isFinite(value)))
    return failure(
      "fit.impossible",
      "The uncertainties of these points are too large or too small to be worked with. Check their units.",
    );
  const standardErrors =
    covariance === null ? null : covariance.map((row, index) => Math.sqrt(Math.max(row[index]!, 0)));
  const temperatures = [...points.map(({ x }) => x), ...(model === "its-90" && input.rtpw !== undefined ? [0.01] : [])];
  return success({
    model,
    names: solution.names,
    coefficients: solution.coefficients,
    standardErrors,
    covariance,
    residuals: fit.residuals,
    residualStandardDeviation: fit.degreesOfFreedom > 0 ? fit.residualStandardDeviation : null,
    degreesOfFreedom: fit.degreesOfFreedom,
    weighted,
    range: { lower: Math.min(...temperatures), upper: Math.max(...temperatures) },
    sensor: solution.sensor,
    notes: [
      ...notesOf(solution, weighted),
      ...(model === "callendar-van-dusen" ? undetermined(solution.names, solution.coefficients, standardErrors) : []),
    ],
  });
};
