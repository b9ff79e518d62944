import { Fault, type FaultValue, type Outcome } from "#fault";
import { seededGenerator } from "#numerics";
import { simulate, validatePropagation, type PropagationCheck, type Simulated } from "#uncertainty";
import type { Pass } from "../job/procedure.ts";
import type { RunEvent } from "../log/events.ts";
import { logView } from "../log/log-view.ts";
import type { MeasuredPoint, Result } from "../result/result.ts";
import { inWords } from "./budget-line.ts";
import { gatherPoint } from "./gather-point.ts";
import { describePoint, pointModel, type PointModelDescription } from "./point-model.ts";

export interface ValidationSettings {
  /**
   * Trials of each point; `adaptive`: as many as JCGM 101, 7.9, takes; `decisive`: more than that where a point would be left
   * undecided. 20 000 where nothing is said.
   */
  readonly trials?: number | "adaptive" | "decisive";
  /** Where nothing is said, the seed of the run, and its name: the same log, the same digits. */
  readonly seed?: number;
}

interface PointName {
  readonly item: string;
  readonly pass: Pass;
  readonly point: number;
  readonly nominal: number;
}

/** What the propagation of a point's uncertainty is worth, by JCGM 101:2008, clause 8; temperatures in K. */
export interface ValidatedPoint extends PointName {
  readonly status: "validated";
  readonly propagation: { readonly error: number; readonly u: number; readonly U: number; readonly k: number };
  readonly monteCarlo: Simulated;
  readonly check: PropagationCheck;
  /** Where the two disagree: whether the stated interval ends too early somewhere, or is wider than it need be. */
  readonly side: "too-narrow" | "too-wide" | null;
  readonly words: string;
}

export interface UnvalidatedPoint extends PointName {
  readonly status: "not-validated";
  readonly code: string;
  readonly reason: string;
}

export type PointValidation = ValidatedPoint | UnvalidatedPoint;

/** One simulation that has to be made to validate a point, as plain data. */
export interface PointSimulation {
  readonly place: PointName;
  readonly measured: MeasuredPoint;
  readonly description: PointModelDescription;
  readonly settings: {
    readonly trials: number | "adaptive";
    readonly seed: number;
    readonly level: number;
    readonly limits?: { readonly lower: number; readonly upper: number };
  };
}

const usualTrials = 20_000;

/**
 * The simulations that validate the points of a run, one for each that was measured. A result that is not of this log is
 * thrown as `input.invalid`.
 */
export const pointSimulations = (
  log: readonly RunEvent[],
  result: Result,
  { trials = usualTrials, seed }: ValidationSettings = {},
): PointSimulation[] => {
  const view = logView(log);
  const { run, job, seed: own } = view.opened;
  if (result.run !== run) {
    throw new Fault("input.invalid", `The result is of the run ${result.run}, the log of ${run}. Evaluate this log.`);
  }
  const root = seededGenerator(seed ?? own ?? 0).fork(run);
  return result.items.flatMap((entry) =>
    entry.passes.flatMap(({ pass, points }) =>
      points.flatMap((measured): PointSimulation[] => {
        const item = job.items.find(({ id }) => id === entry.item);
        if (measured.status !== "measured" || item === undefined) return [];
        const { point, nominal, conformity, budget } = measured;
        const data = gatherPoint(view, { item, pass, point }, view.history(pass, point, item.id));
        if (!data.ok) return [];
        return [
          {
            place: { item: item.id, pass, point, nominal },
            measured,
            description: describePoint(data.value, budget),
            settings: {
              trials: trials === "decisive" ? "adaptive" : trials,
              seed: Math.floor(root.fork(`${item.id}/${pass}/${point}`).next() * 2 ** 32),
              level: budget.coverage,
              ...(conformity === null ? {} : { limits: conformity.tolerance }),
            },
          },
        ];
      }),
    ),
  );
};

const interval = ([low, high]: readonly [number, number]): string => `${inWords(low)} K to ${inWords(high)} K`;

/** Which way the ends are off, where the two disagree. */
const sideOf = ({ agreement, differences: [low, high], delta, endDeviations }: PropagationCheck) => {
  if (agreement !== "disagrees") return null;
  const short = low > delta + 2 * endDeviations[0] || -high > delta + 2 * endDeviations[1];
  return short ? ("too-narrow" as const) : ("too-wide" as const);
};

const consequence = {
  "too-narrow": "The stated interval is too narrow at one end or both; state the one by Monte Carlo.",
  "too-wide": "The stated interval is wider than it need be, so it errs on the safe side.",
};

const wordsOf = (check: PropagationCheck, side: ValidatedPoint["side"], simulated: Simulated): string => {
  const { agreement, delta, dLow, dHigh, endDeviations } = check;
  const ends = `the ends of the interval differ by ${inWords(dLow)} K and ${inWords(dHigh)} K`;
  if (agreement === "agrees")
    return `Propagation and Monte Carlo (${simulated.trials} trials) agree: ${ends}, within δ = ${inWords(delta)} K (JCGM 101:2008, clause 8).`;
  if (side !== null)
    return `Propagation and Monte Carlo (${simulated.trials} trials) disagree: ${interval(check.interval)} by propagation, ${interval(simulated.interval)} by Monte Carlo; ${ends}, and δ = ${inWords(delta)} K (JCGM 101:2008, clause 8). ${consequence[side]}`;
  return `Not decided: ${ends}, but ${simulated.trials} trials leave the ends uncertain by ${inWords(Math.max(...endDeviations))} K, and δ = ${inWords(delta)} K. Take more trials.`;
};

/** Puts the outcome of a point's simulation beside its propagation. */
export const validationOf = ({ place, measured }: PointSimulation, outcome: Outcome<Simulated>): PointValidation => {
  if (!outcome.ok)
    return { ...place, status: "not-validated", code: outcome.fault.code, reason: outcome.fault.message };
  const { error, budget } = measured;
  const propagation = { error: error.value, u: budget.u, U: budget.U, k: budget.k };
  const check = validatePropagation({ value: error.value, u: budget.u, U: budget.U }, outcome.value);
  const side = sideOf(check);
  const words = wordsOf(check, side, outcome.value);
  return { ...place, status: "validated", propagation, monteCarlo: outcome.value, check, side, words };
};

/** The most trials that a point gets so that it is decided: a second on a thread. */
const mostDecisive = 2_000_000;

/**
 * A point that stays open is simulated again with as many trials as make the doubt of an end half of what is to be told:
 * the doubt falls with the root of their number (rule C45). Undefined where the point is decided or nothing can be gained.
 */
export const simulationAgain = (
  simulation: PointSimulation,
  validation: PointValidation,
  { trials }: ValidationSettings,
): PointSimulation | undefined => {
  if (trials !== "decisive" || validation.status !== "validated" || validation.check.agreement !== "open")
    return undefined;
  const { delta, dLow, dHigh, endDeviations } = validation.check;
  const made = validation.monteCarlo.trials;
  const needed = [dLow, dHigh].map((difference, end) => {
    // Within δ the doubt itself has to come below δ; beyond it, below the excess.
    const room = difference <= delta ? delta : difference - delta;
    return made * ((2 * 2 * endDeviations[end]!) / room) ** 2;
  });
  const wanted = Math.min(mostDecisive, Math.ceil(Math.max(...needed)));
  return wanted > made ? { ...simulation, settings: { ...simulation.settings, trials: wanted } } : undefined;
};

/** Works out one point's simulation on this thread. */
export const simulatePoint = ({
  description,
  settings,
}: Pick<PointSimulation, "description" | "settings">): Outcome<Simulated> => {
  const model = pointModel(description);
  if (!model.ok) return model;
  return simulate(model.value.model, model.value.inputs, { ...settings, correlations: model.value.correlations });
};

/** Works out one point's validation on this thread, once more where it would stay undecided and a decision is wanted. */
export const validatePoint = (simulation: PointSimulation, settings: ValidationSettings): PointValidation => {
  const first = validationOf(simulation, simulatePoint(simulation));
  const again = simulationAgain(simulation, first, settings);
  return again === undefined ? first : validationOf(again, simulatePoint(again));
};

/**
 * Validates the law of propagation at each measured point of a run by Monte Carlo through the real model (JCGM 101:2008,
 * clause 8). A pure function: same log, result and settings, same digits. A point whose trials leave a sensor's range says so.
 */
export const validatePoints = (
  log: readonly RunEvent[],
  result: Result,
  settings: ValidationSettings = {},
): PointValidation[] =>
  pointSimulations(log, result, settings).map((simulation) => validatePoint(simulation, settings));

/** What stands in place of a validation that was not made: every measured point with the reason. */
export const notValidated = (
  log: readonly RunEvent[],
  result: Result,
  { code, message }: Pick<FaultValue, "code" | "message">,
): UnvalidatedPoint[] =>
  pointSimulations(log, result).map(({ place }) => ({ ...place, status: "not-validated", code, reason: message }));
