import type { Place, SignalModel, Spread } from "../hypotheses/signal-model.ts";
import { courseOf, kinship, type Problem } from "./problem.ts";
import { dot, factorOf, solve, whiten, type Factor } from "./triangular.ts";

/** A hypothesis held against the points. */
export interface Weighed {
  readonly model: SignalModel;
  /** Natural logarithm of the marginal likelihood: of the points, whatever the parameters. */
  readonly logEvidence: number;
  /** Most probable parameters, and the same in units of their priors. */
  readonly values: readonly number[];
  readonly z: readonly number[];
  readonly predicted: readonly number[];
  /** Sum of squared residuals in units of their standard deviations: about the number of points where it fits. */
  readonly misfit: number;
  /** For predictions elsewhere: residual weights, factor of the points, columns of whitened derivatives, their information. */
  readonly fitted: Fitted | null;
}

export interface Fitted {
  readonly factor: Factor;
  readonly slopes: readonly number[];
  readonly residuals: readonly number[];
  readonly columns: readonly (readonly number[])[];
  readonly information: Factor;
}

export const usualSpread: Spread = { scale: 1, wild: false };
const slopeStep = 0.05;
const parameterStep = 1e-3;
const mostRounds = 25;
const furthest = 6;

const impossible = (model: SignalModel): Weighed => ({
  model,
  logEvidence: Number.NEGATIVE_INFINITY,
  values: [],
  z: [],
  predicted: [],
  misfit: Number.POSITIVE_INFINITY,
  fitted: null,
});

const valuesAt = (model: SignalModel, z: readonly number[]): number[] =>
  model.parameters.map((parameter, index) => parameter.value(z[index]!));

/** Signal per kelvin of the item's element, if the hypothesis holds; 0 beyond its range. */
export const slopeAt = (model: SignalModel, place: Place, values: readonly number[]): number => {
  const [low, high] = [-slopeStep, slopeStep].map((offset) => model.predict({ ...place, offset }, values));
  const slope = (high! - low!) / (2 * slopeStep);
  return Number.isFinite(slope) ? slope : 0;
};

const spreadOf = (problem: Problem, model: SignalModel, slopes: readonly number[]): Factor | undefined => {
  const course = courseOf(problem.places);
  const spread = model.spread ?? usualSpread;
  const slack = model.slack ?? 0;
  const { places, covariance, ordinary, floors } = problem;
  return factorOf(
    places.map((one, row) =>
      places.map((other, column) => {
        const same = row === column;
        const kin =
          one.owner === other.owner
            ? ordinary[row]! * ordinary[column]! * kinship(course, one.reference, other.reference, same, spread)
            : 0;
        const signal = slopes[row]! * slopes[column]! * (covariance[row]![column]! + kin);
        return same ? signal + floors[row]! ** 2 + slack ** 2 : signal;
      }),
    ),
  );
};

interface Trial {
  readonly z: readonly number[];
  readonly predicted: readonly number[];
  readonly residuals: readonly number[];
  readonly cost: number;
}

const tryAt = (problem: Problem, model: SignalModel, factor: Factor, z: readonly number[]): Trial => {
  const values = valuesAt(model, z);
  const predicted = problem.places.map((place) => model.predict(place, values));
  const residuals = whiten(
    factor,
    predicted.map((value, index) => problem.signals[index]! - value),
  );
  const cost = (dot(residuals, residuals) + dot(z, z)) / 2;
  return { z, predicted, residuals, cost: Number.isFinite(cost) ? cost : Number.POSITIVE_INFINITY };
};

/** Whitened derivatives of the prediction by each z. */
const columnsAt = (problem: Problem, model: SignalModel, factor: Factor, z: readonly number[]): number[][] =>
  z.map((_, moved) => {
    const [low, high] = [-parameterStep, parameterStep].map((by) =>
      valuesAt(
        model,
        z.map((value, index) => (index === moved ? value + by : value)),
      ),
    );
    return whiten(
      factor,
      problem.places.map((place) => {
        const slope = (model.predict(place, high!) - model.predict(place, low!)) / (2 * parameterStep);
        return Number.isFinite(slope) ? slope : 0;
      }),
    );
  });

const informationOf = (columns: readonly (readonly number[])[], damping = 0): Factor | undefined =>
  factorOf(columns.map((one, row) => columns.map((other, col) => dot(one, other) + (row === col ? 1 + damping : 0))));

/** Gauss-Newton with damping, from one start. */
const climb = (problem: Problem, model: SignalModel, factor: Factor, start: readonly number[]): Trial => {
  let best = tryAt(problem, model, factor, start);
  let damping = 1e-3;
  for (let round = 0; round < mostRounds && best.z.length > 0; round += 1) {
    const columns = columnsAt(problem, model, factor, best.z);
    const information = informationOf(columns, damping);
    if (information === undefined) break;
    const step = solve(
      information,
      columns.map((column, index) => dot(column, best.residuals) - best.z[index]!),
    );
    const next = tryAt(
      problem,
      model,
      factor,
      best.z.map((value, index) => Math.min(furthest, Math.max(-furthest, value + step[index]!))),
    );
    const gain = best.cost - next.cost;
    if (gain > 0) {
      best = next;
      damping = Math.max(1e-6, damping / 10);
      if (gain < 1e-4) break;
    } else {
      damping *= 10;
      if (damping > 1e6) break;
    }
  }
  return best;
};

const startsOf = ({ parameters }: SignalModel): number[][] => {
  const still = parameters.map(() => 0);
  if (parameters.length === 0) return [still];
  return [still, ...[-1.5, 1.5].map((first) => still.map((_, index) => (index === 0 ? first : 0)))];
};

/** Scatter of a quiet item and of a noisy one: mean and standard deviation of the logarithm of scatter over ordinary error. Ours. */
const quietScatter = { mean: Math.log(0.04), sd: 1.1 } as const;
const noisyScatter = { mean: Math.log(1.5), sd: 0.9 } as const;

const scatterEvidence = ({ scatter }: Problem, model: SignalModel): number => {
  if (scatter === null) return 0;
  const { mean, sd } = model.noisy === true ? noisyScatter : quietScatter;
  // Below its own usual scatter an item is only the more quiet; above the usual noise it is only the more noisy.
  const beyond = model.noisy === true ? Math.min(0, (scatter - mean) / sd) : Math.max(0, (scatter - mean) / sd);
  return -(beyond ** 2) / 2 - Math.log(sd);
};

/** How seldom a live item shows no last digit moving at any point: natural logarithm (ours). A coarse display often does. */
const stillByChance = -3;

const stillnessEvidence = ({ still }: Problem, { fault }: SignalModel): number => {
  if (still === null) return 0;
  if (fault === "stuck") return still ? 0 : Number.NEGATIVE_INFINITY;
  return still ? stillByChance : 0;
};

/**
 * How well a hypothesis explains the points, its parameters integrated out: exact where the signal is linear in them, Laplace's
 * approximation about the most probable ones elsewhere. Many free figures cost what they should: a broad prior is wide.
 */
export const weigh = (problem: Problem, model: SignalModel): Weighed => {
  const middle = valuesAt(
    model,
    model.parameters.map(() => 0),
  );
  const slopes = problem.places.map((place) => slopeAt(model, place, middle));
  const factor = spreadOf(problem, model, slopes);
  if (factor === undefined) return impossible(model);
  let best: Trial | undefined;
  for (const start of startsOf(model)) {
    const found = climb(problem, model, factor, start);
    if (best === undefined || found.cost < best.cost) best = found;
  }
  if (best === undefined || !Number.isFinite(best.cost)) return impossible(model);
  const columns = columnsAt(problem, model, factor, best.z);
  const information = informationOf(columns);
  if (information === undefined) return impossible(model);
  const logEvidence =
    -best.cost -
    information.logDeterminant / 2 -
    factor.logDeterminant / 2 -
    (problem.places.length / 2) * Math.log(2 * Math.PI) +
    scatterEvidence(problem, model) +
    stillnessEvidence(problem, model);
  return {
    model,
    logEvidence,
    values: valuesAt(model, best.z),
    z: best.z,
    predicted: best.predicted,
    misfit: dot(best.residuals, best.residuals),
    fitted: { factor, slopes, residuals: best.residuals, columns, information },
  };
};
