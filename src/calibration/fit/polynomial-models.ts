import { failure, success, type Outcome } from "#fault";
import { fitPolynomial, polynomialSlope } from "#numerics";
import { prepare, type ThermocoupleSensor } from "#thermometry";
import type { FitInput } from "./curve-fit.ts";
import { solved, unchanged, type LinearSolution } from "./linear-solution.ts";

const highestDegree = 20;

const degreeOf = ({ degree, model }: FitInput): Outcome<number> =>
  degree !== undefined && Number.isInteger(degree) && degree >= 0 && degree <= highestDegree
    ? success(degree)
    : failure(
        "input.invalid",
        `The model ${model} needs "degree": a whole number from 0 to ${highestDegree}, the highest power.`,
        {
          field: "degree",
        },
      );

type Polynomial = Pick<LinearSolution, "fit" | "shift" | "names">;

const polynomialOf = (
  input: FitInput,
  observations: readonly number[],
  uncertainties: readonly number[] | undefined,
  letter: string,
): Outcome<Polynomial> => {
  const degree = degreeOf(input);
  if (!degree.ok) return degree;
  const names = Array.from({ length: degree.value + 1 }, (_, power) => `${letter}${power}`);
  const x = input.points.map((point) => point.x);
  const weights = uncertainties === undefined ? {} : { uncertainties };
  const outcome = solved((y) => fitPolynomial({ x, y, degree: degree.value, ...weights }), observations, names);
  return outcome.ok ? success({ ...outcome.value, names }) : outcome;
};

/** y = c0 + c1·x + … + cn·xⁿ. */
export const polynomialModel = (
  input: FitInput,
  uncertainties: readonly number[] | undefined,
): Outcome<LinearSolution> => {
  const outcome = polynomialOf(
    input,
    input.points.map(({ y }) => y),
    uncertainties,
    "c",
  );
  if (!outcome.ok) return outcome;
  const { coefficients } = outcome.value.fit;
  return success({
    ...outcome.value,
    coefficients,
    jacobian: unchanged(coefficients.length),
    sensor: null,
    slopeAt: (temperature) => polynomialSlope(coefficients, temperature),
    notes: [],
  });
};

/** E(t) − reference function of the type = d0 + d1·t + … in mV, t in °C: the deviation of the thermocouple sensor. */
export const thermocoupleDeviationModel = (
  input: FitInput,
  uncertainties: readonly number[] | undefined,
): Outcome<LinearSolution> => {
  if (input.type === undefined)
    return failure("input.invalid", 'The model thermocouple-deviation needs "type": the letter of the thermocouple.', {
      field: "type",
    });
  const nominal = prepare({ kind: "thermocouple", type: input.type });
  if (!nominal.ok) return nominal;
  const deviations: number[] = [];
  for (const { x, y } of input.points) {
    const emf = nominal.value.signal(x);
    if (!emf.ok) return emf;
    deviations.push(y - emf.value.signal);
  }
  const outcome = polynomialOf(input, deviations, uncertainties, "d");
  if (!outcome.ok) return outcome;
  const { coefficients } = outcome.value.fit;
  const sensor: ThermocoupleSensor = { kind: "thermocouple", type: input.type, deviation: coefficients };
  const fitted = prepare(sensor);
  if (!fitted.ok)
    return failure(
      "fit.impossible",
      `The fitted deviation cannot be that of a type ${input.type} thermocouple: ${fitted.fault.message}`,
      { coefficients },
    );
  const slopeOf = (temperature: number): number => {
    const converted = fitted.value.signal(temperature);
    return converted.ok ? converted.value.slope : Number.NaN;
  };
  return success({
    ...outcome.value,
    coefficients,
    jacobian: unchanged(coefficients.length),
    sensor,
    slopeAt: slopeOf,
    notes: [],
  });
};
