import type { Place } from "../hypotheses/signal-model.ts";
import { courseOf, kinship } from "./problem.ts";
import type { Candidate } from "./posterior.ts";
import { dot, solve, whiten } from "./triangular.ts";
import { slopeAt, usualSpread } from "./weigh.ts";

/** What a hypothesis expects of a further point. */
export interface Foretold {
  /** In the item's unit. */
  readonly signal: number;
  readonly standardDeviation: number;
}

const parameterStep = 1e-3;

/**
 * The signal that a hypothesis expects at a further place, after what the points have taught it of its parameters and of the
 * item's ordinary error. Null where it could give no signal there. `u`: of a measured error there, K; `ordinary` likewise, ±K.
 */
export const foretell = (
  { weighed, problem, owner }: Candidate,
  at: Place,
  { u, ordinary, floor }: { readonly u: number; readonly ordinary: number; readonly floor: number },
): Foretold | null => {
  const { model, values, z, fitted } = weighed;
  const place = { ...at, owner };
  const expected = model.predict(place, values);
  if (fitted === null || !Number.isFinite(expected)) return null;
  const course = courseOf(problem.places);
  const spread = model.spread ?? usualSpread;
  const slope = slopeAt(model, place, values);
  const kin = problem.places.map((known, index) =>
    known.owner === owner
      ? slope *
        fitted.slopes[index]! *
        ordinary *
        problem.ordinary[index]! *
        kinship(course, place.reference, known.reference, false, spread)
      : 0,
  );
  const white = whiten(fitted.factor, kin);
  const derivatives = z.map((_, moved) => {
    const [low, high] = [-parameterStep, parameterStep].map((by) =>
      model.predict(
        place,
        model.parameters.map((parameter, index) => parameter.value(z[index]! + (index === moved ? by : 0))),
      ),
    );
    const derivative = (high! - low!) / (2 * parameterStep);
    return (Number.isFinite(derivative) ? derivative : 0) - dot(fitted.columns[moved]!, white);
  });
  const own = kinship(course, place.reference, place.reference, true, spread) * ordinary ** 2;
  const variance =
    slope ** 2 * (u ** 2 + own) -
    dot(white, white) +
    dot(derivatives, solve(fitted.information, derivatives)) +
    floor ** 2 +
    (model.slack ?? 0) ** 2;
  return {
    signal: expected + dot(white, fitted.residuals),
    standardDeviation: Math.sqrt(Math.max(floor ** 2, variance)),
  };
};
