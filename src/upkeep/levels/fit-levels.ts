import { failure, success, type Outcome } from "#fault";
import { leastSquares } from "#numerics";
import type { Visit } from "./visit.ts";

/** How far the places lie apart, the drift of the difference taken out. */
export interface Levels {
  /** Place against which the others count. */
  readonly base: string;
  /** The other places, in the order in which they were first visited. */
  readonly places: readonly string[];
  /** Level of each place less that of the base. */
  readonly differences: readonly number[];
  /** From the uncertainty of the visits alone. */
  readonly covariance: readonly (readonly number[])[];
  /** Drift of the difference, per second. */
  readonly drift: number;
  readonly chiSquare: number;
  /** Visits more than there are unknowns. */
  readonly freedom: number;
  /** Degrees of freedom of the uncertainty within the visits. */
  readonly within: number;
}

/** Below this nothing can be weighed: a thermometer that shows always the same. */
const leastUncertainty = 1e-7;

const unseparable = (what: string) =>
  failure(
    "upkeep.incomplete",
    `${what}: the places cannot be told from a drift of the readings. Go back to the first place at the end (A-B-A), or read every place twice.`,
  );

/**
 * Levels of places from alternate visits A-B-A by weighted least squares: value = level(place) − level(place of the other
 * thermometer, where they were exchanged) + constant + drift·time. A drift of the source that both thermometers see cancels in
 * the difference; a slow drift of the difference itself is in the line (rules K1 and K2). A failure `upkeep.incomplete` where
 * no place was visited twice.
 */
export const fitLevels = (what: string, visits: readonly Visit[], base = visits[0]?.place): Outcome<Levels> => {
  const names = [...new Set(visits.map(({ place }) => place))];
  const places = names.filter((name) => name !== base);
  if (base === undefined || !names.includes(base) || places.length === 0)
    return failure("upkeep.incomplete", `${what}: at least two places are needed to say how far they lie apart.`);
  const exchanged = new Set(visits.map(({ against }) => against)).size > 1;
  const middle = visits.reduce((sum, { time }) => sum + time, 0) / visits.length;
  const span = Math.max(1, ...visits.map(({ time }) => Math.abs(time - middle)));
  const design = visits.map(({ place, against, time }) => [
    ...places.map((name) => (name === place ? 1 : 0) - (exchanged && name === against ? 1 : 0)),
    1,
    (time - middle) / span,
  ]);
  if (visits.length < places.length + 2) return unseparable(what);
  const fit = leastSquares({
    design,
    observations: visits.map(({ value }) => value),
    uncertainties: visits.map(({ u }) => Math.max(u, leastUncertainty)),
  });
  if (!fit.ok) return unseparable(what);
  return success({
    base,
    places,
    differences: fit.coefficients.slice(0, places.length),
    covariance: fit.covariance.slice(0, places.length).map((row) => row.slice(0, places.length)),
    drift: fit.coefficients.at(-1)! / span,
    chiSquare: fit.degreesOfFreedom * fit.residualStandardDeviation ** 2,
    freedom: fit.degreesOfFreedom,
    within: visits.reduce((sum, { dof }) => sum + dof, 0),
  });
};
