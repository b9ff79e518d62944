import { failure, success, type Outcome } from "#fault";
import {
  aluminiumRatio,
  callendarVanDusenRange,
  deviationBasis,
  fittedCoefficients,
  prepare,
  referenceRatio,
  standardPlatinum,
  subrangeOf,
  type Interval,
  type Sensor,
  type Subrange,
} from "#thermometry";
import type { FitInput, FitPoint } from "./curve-fit.ts";
import { designSolver, scaleAndShape, solved, unchanged, type LinearSolution } from "./linear-solution.ts";

const triplePoint = 0.01;

/**
 * How far beyond the end of an ITS-90 subrange a point may lie, K: a comparison at the ice point must not be lost because
 * the source stood a little below 0 °C (common practice, no source). The reference functions reach further.
 */
const endSlack = 0.5;

const pointOutside = (
  points: readonly FitPoint[],
  { lower, upper }: Interval,
  name: string,
  slack = 0,
): Outcome<null> => {
  const index = points.findIndex(({ x }) => x < lower - slack || x > upper + slack);
  return index < 0
    ? success(null)
    : failure(
        "thermometry.out-of-range",
        `Point ${index + 1}, at ${points[index]!.x} °C, lies outside the range of ${name}, ${lower} °C to ${upper} °C. Leave it out, or choose a model that holds there.`,
        { point: index + 1, temperature: points[index]!.x, lower, upper },
      );
};

const notPlatinum = (message: string, coefficients: readonly number[]): Outcome<never> =>
  failure(
    "fit.impossible",
    `The curve through these points is not that of a platinum thermometer. Check the points for slips: temperatures in °C, resistances in Ω. (${message})`,
    { coefficients },
  );

/** Slope of a sensor over its range, at the nearer end of it beyond; or why the sensor is none. */
const slopeOf = (sensor: Sensor): Outcome<(temperature: number) => number> => {
  const prepared = prepare(sensor);
  if (!prepared.ok) return prepared;
  const { lower, upper } = prepared.value.temperatureRange;
  return success((temperature) => {
    const converted = prepared.value.signal(Math.min(Math.max(temperature, lower), upper));
    return converted.ok ? converted.value.slope : Number.NaN;
  });
};

/**
 * R = R0·(1 + a·t + b·t² + c·(t − 100)·t³), the last term below 0 °C only (IEC 60751:2022, 4.2), linear in R0, R0·a, R0·b,
 * R0·c. Without a point below 0 °C, c is not fitted.
 */
export const callendarVanDusenModel = (
  input: FitInput,
  uncertainties: readonly number[] | undefined,
): Outcome<LinearSolution> => {
  const { points } = input;
  const within = pointOutside(points, callendarVanDusenRange, "the Callendar-Van Dusen equation");
  if (!within.ok) return within;
  const low = points.some(({ x }) => x < 0);
  const names = low ? ["r0", "a", "b", "c"] : ["r0", "a", "b"];
  const design = points.map(({ x }) => [1, x, x * x, ...(low ? [x < 0 ? (x - 100) * x ** 3 : 0] : [])]);
  const outcome = solved(
    designSolver(design, uncertainties),
    points.map(({ y }) => y),
    names,
  );
  if (!outcome.ok) return outcome;
  const { coefficients, jacobian } = scaleAndShape(outcome.value.fit.coefficients);
  const [r0, a, b] = coefficients as [number, number, number];
  const c = coefficients[3] ?? standardPlatinum.c;
  const sensor: Sensor = { kind: "platinum", equation: "callendar-van-dusen", r0, a, b, c };
  const slopeAt = slopeOf(sensor);
  if (!slopeAt.ok) return notPlatinum(slopeAt.fault.message, coefficients);
  const notes = low
    ? []
    : [`No point lies below 0 °C, so c was not fitted; the sensor carries ${c}, the value of IEC 60751.`];
  return success({ ...outcome.value, names, coefficients, jacobian, sensor, slopeAt: slopeAt.value, notes });
};

interface ScaleProblem {
  readonly subrange: Subrange;
  readonly points: readonly FitPoint[];
  readonly uncertainties: readonly number[] | undefined;
  readonly ratios: readonly number[];
  readonly rtpw: number | undefined;
}

/** One round: the design at the ratios that follow from the present R(TPW), solved. */
const scaleRound = (
  { subrange, points, uncertainties, ratios, rtpw }: ScaleProblem,
  present: { readonly rtpw: number; readonly aluminium: number },
  names: readonly string[],
) => {
  const basis = points.map(({ y }) => deviationBasis(subrange, y / present.rtpw, present.aluminium));
  const design =
    rtpw === undefined
      ? basis.map((row, index) => [ratios[index]!, ...row])
      : basis.map((row) => row.map((value) => value * rtpw));
  const observations = points.map(({ y }, index) => (rtpw === undefined ? y : y - rtpw * ratios[index]!));
  return solved(designSolver(design, uncertainties), observations, names);
};

/** W at the aluminium point of a thermometer of subrange 6, with a, b and c as they are now. */
const aluminiumOf = (subrange: Subrange, shape: readonly number[]): number => {
  const reference = aluminiumRatio();
  let ratio = reference;
  for (let round = 0; round < 20; round += 1) {
    const basis = deviationBasis(subrange, ratio);
    ratio = reference + basis.reduce((sum, value, index) => sum + value * shape[index]!, 0);
  }
  return ratio;
};

const rounds = 12;

/** Rounds until R(TPW) and W(Al), which the design itself depends on, stand still: two or three for any thermometer. */
const solveScale = (problem: ScaleProblem, start: number, names: readonly string[]) => {
  const { subrange, rtpw } = problem;
  const isUpper = names.includes("d");
  const present = { rtpw: start, aluminium: isUpper ? aluminiumRatio() : Number.POSITIVE_INFINITY };
  let outcome = scaleRound(problem, present, names);
  if (rtpw !== undefined && !isUpper) return outcome;
  for (let round = 0; round < rounds && outcome.ok; round += 1) {
    const parameters = outcome.value.fit.coefficients;
    const scaled = rtpw === undefined ? scaleAndShape(parameters).coefficients : [rtpw, ...parameters];
    const before = present.rtpw;
    present.rtpw = scaled[0]!;
    if (!(present.rtpw > 0)) break;
    if (isUpper) present.aluminium = aluminiumOf(subrange, scaled.slice(1));
    outcome = scaleRound(problem, present, names);
    if (!isUpper && Math.abs(present.rtpw - before) <= 1e-15 * before) break;
  }
  return outcome;
};

const scaleSubrange = ({ subrange: number, points, rtpw }: FitInput): Outcome<Subrange> => {
  const subrange = number === undefined ? undefined : subrangeOf(number);
  if (subrange === undefined)
    return failure("input.invalid", 'The model its-90 needs "subrange": a whole number from 1 to 11.', {
      field: "subrange",
    });
  if (rtpw !== undefined && !(Number.isFinite(rtpw) && rtpw > 0))
    return failure("input.invalid", '"rtpw", the resistance at 0.01 °C, must be a positive number of ohms.', {
      field: "rtpw",
    });
  const within = pointOutside(points, subrange, `ITS-90 subrange ${subrange.number}`, endSlack);
  if (!within.ok) return within;
  const bad = points.findIndex(({ y }) => !(y > 0));
  return bad < 0
    ? success(subrange)
    : failure("input.invalid", `Point ${bad + 1} has no positive resistance: ${points[bad]!.y} Ω.`, { point: bad + 1 });
};

/**
 * W − Wr = ΔW(W) of one ITS-90 subrange, W = R/R(0.01 °C), solved for the coefficients; residuals in Ω. R(0.01 °C) is taken
 * as exact where it is given, otherwise it is fitted along with them.
 */
export const scaleModel = (input: FitInput, uncertainties: readonly number[] | undefined): Outcome<LinearSolution> => {
  const { points, rtpw } = input;
  const chosen = scaleSubrange(input);
  if (!chosen.ok) return chosen;
  const subrange = chosen.value;
  const ratios: number[] = [];
  for (const { x } of points) {
    const reference = referenceRatio(x);
    if (!reference.ok) return reference;
    ratios.push(reference.value.ratio);
  }
  const shape = fittedCoefficients(subrange);
  const names = rtpw === undefined ? ["rtpw", ...shape] : shape;
  const nearest = points.reduce(
    (best, { x }, index) => (Math.abs(x - triplePoint) < Math.abs(points[best]!.x - triplePoint) ? index : best),
    0,
  );
  const start = rtpw ?? points[nearest]!.y / ratios[nearest]!;
  const outcome = solveScale({ subrange, points, uncertainties, ratios, rtpw }, start, names);
  if (!outcome.ok) return outcome;
  const parameters = outcome.value.fit.coefficients;
  const { coefficients, jacobian } =
    rtpw === undefined
      ? scaleAndShape(parameters)
      : { coefficients: parameters, jacobian: unchanged(parameters.length) };
  const values = rtpw === undefined ? coefficients.slice(1) : coefficients;
  const sensor: Sensor = {
    kind: "platinum",
    equation: "its-90",
    rtpw: rtpw ?? coefficients[0]!,
    coefficients: [
      {
        subrange: subrange.number,
        ...Object.fromEntries(shape.map((name, index) => [name, values[index]!])),
      },
    ],
  };
  const slopeAt = slopeOf(sensor);
  if (!slopeAt.ok) return notPlatinum(slopeAt.fault.message, coefficients);
  return success({ ...outcome.value, names, coefficients, jacobian, sensor, slopeAt: slopeAt.value, notes: [] });
};
