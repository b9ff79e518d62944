import { failure, success, type Outcome } from "#fault";
import { normalCdf, normalDensity } from "#numerics";
import { integrate } from "./integrate.ts";
import { limitsFault, within, type Limits } from "./limits.ts";

/** What is known of the items before this measurement: their true values are normally distributed. */
export interface Prior {
  readonly mean: number;
  /** Standard deviation of the true values, above 0. */
  readonly sd: number;
}

/**
 * Global risks of a rule applied to items of a population (JCGM 106:2012, 9.5.3 and 9.5.4): probabilities before anything
 * is measured. They say nothing about one item that has been measured; that is the specific risk.
 */
export interface GlobalRisk {
  /** That an item is accepted and does not conform. */
  readonly consumer: number;
  /** That an item is rejected and conforms. */
  readonly producer: number;
}

/** Beyond this many standard deviations the normal distribution holds less than 1e-18. */
const reach = 9;

/** Breaks for an integral from `low` to `high`: all places of interest that lie between, in rising order. */
const breaksWithin = (low: number, high: number, places: readonly number[]): number[] => [
  low,
  ...places.filter((place) => place > low && place < high).sort((a, b) => a - b),
  high,
];

/** What the risk integrals run over: x is the true value in units of the prior's sd about its mean. */
interface Standardised {
  readonly u: number;
  readonly tolerance: { readonly low: number; readonly high: number };
  readonly acceptance: { readonly low: number; readonly high: number };
}

const standardised = (limits: Limits, acceptance: Limits, u: number, { mean, sd }: Prior): Standardised => {
  const scaled = (limit: number | undefined, open: number): number =>
    limit === undefined ? open : (limit - mean) / sd;
  const interval = ({ lower, upper }: Limits) => ({
    low: scaled(lower, Number.NEGATIVE_INFINITY),
    high: scaled(upper, Number.POSITIVE_INFINITY),
  });
  return { u: u / sd, tolerance: interval(limits), acceptance: interval(acceptance) };
};

/** Probability that an item of true value `x` is accepted; `accepted` false: that it is rejected. Tails keep their digits. */
const chance = ({ u, acceptance: { low, high } }: Standardised, x: number, accepted: boolean): number => {
  if (u === 0) return within(x, { lower: low, upper: high }) === accepted ? 1 : 0;
  const [below, above] = [normalCdf((low - x) / u), normalCdf((x - high) / u)];
  if (!accepted) return below + above;
  // The side on which the interval lies decides which difference of tails does not cancel.
  return x < low ? normalCdf((x - low) / u) - above : normalCdf((high - x) / u) - below;
};

const probability = (problem: Standardised, low: number, high: number, accepted: boolean): number => {
  const from = Math.max(low, -reach);
  const to = Math.min(high, reach);
  if (!(to > from)) return 0;
  const { acceptance, u } = problem;
  const places = [acceptance.low, acceptance.high].flatMap((edge) =>
    [-reach, -4, -1, 0, 1, 4, reach].map((step) => edge + step * u),
  );
  const breaks = breaksWithin(from, to, [...places, -4, -1, 0, 1, 4]);
  return integrate((x) => normalDensity(x) * chance(problem, x, accepted), breaks);
};

/**
 * Consumer's and producer's global risk with a normal prior and a normal measurement of standard uncertainty `u`, when values
 * within `acceptance` are accepted (JCGM 106:2012, equations 17 to 20; numerical integration, good to 1e-9).
 * Probabilities, 0 to 1. Limits that cannot be, u below 0, a prior without spread: `uncertainty.invalid`.
 */
export const globalRisk = (limits: Limits, acceptance: Limits, u: number, prior: Prior): Outcome<GlobalRisk> => {
  const fault = limitsFault(limits) ?? limitsFault(acceptance);
  if (fault !== undefined) return fault;
  if (!(u >= 0 && u < Number.POSITIVE_INFINITY))
    return failure("uncertainty.invalid", "The standard uncertainty must be a finite number, 0 or more.");
  if (!Number.isFinite(prior.mean) || !(prior.sd > 0 && prior.sd < Number.POSITIVE_INFINITY)) {
    const words = "A prior needs a finite mean and a finite standard deviation above 0.";
    return failure("uncertainty.invalid", words, { ...prior });
  }
  const problem = standardised(limits, acceptance, u, prior);
  if (
    ![problem.u, ...Object.values(problem.tolerance)].every((value) => !Number.isNaN(value)) ||
    problem.u === Number.POSITIVE_INFINITY
  )
    return failure("uncertainty.invalid", "The limits, u and the prior are of too different sizes to be compared.");
  const { low, high } = problem.tolerance;
  const consumer =
    probability(problem, Number.NEGATIVE_INFINITY, low, true) +
    probability(problem, high, Number.POSITIVE_INFINITY, true);
  const producer = probability(problem, low, high, false);
  return success({ consumer: Math.min(1, Math.max(0, consumer)), producer: Math.min(1, Math.max(0, producer)) });
};
