import { Fault, type Outcome } from "#fault";
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
  /** Trials of each point, or `adaptive`; 20 000 where nothing is said. */
  readonly trials?: number | "adaptive";
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
        const data = gatherPoint(view, { item, pass, point }, view.history(pass, point));
        if (!data.ok) return [];
        return [
          {
            place: { item: item.id, pass, point, nominal },
            measured,
            description: describePoint(data.value, budget),
            settings: {
              trials,
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

/** What the stated interval is worth where the two disagree, by which way its ends are off. */
const consequence = ({ differences: [low, high], delta, endDeviations }: PropagationCheck): string => {
  const short = low > delta + 2 * endDeviations[0] || -high > delta + 2 * endDeviations[1];
  return short
    ? "The stated interval is too narrow at one end or both; state the one by Monte Carlo."
    : "The stated interval is wider than it need be, so it errs on the safe side.";
};

const wordsOf = (check: PropagationCheck, simulated: Simulated): string => {
  const { agreement, delta, dLow, dHigh, endDeviations } = check;
  const ends = `the ends of the interval differ by ${inWords(dLow)} K and ${inWords(dHigh)} K`;
  if (agreement === "agrees")
    return `Propagation and Monte Carlo (${simulated.trials} trials) agree: ${ends}, within δ = ${inWords(delta)} K (JCGM 101:2008, clause 8).`;
  if (agreement === "disagrees")
    return `Propagation and Monte Carlo (${simulated.trials} trials) disagree: ${interval(check.interval)} by propagation, ${interval(simulated.interval)} by Monte Carlo; ${ends}, and δ = ${inWords(delta)} K (JCGM 101:2008, clause 8). ${consequence(check)}`;
  return `Not decided: ${ends}, but ${simulated.trials} trials leave the ends uncertain by ${inWords(Math.max(...endDeviations))} K, and δ = ${inWords(delta)} K. Take more trials.`;
};

/** Puts the outcome of a point's simulation beside its propagation. */
export const validationOf = ({ place, measured }: PointSimulation, outcome: Outcome<Simulated>): PointValidation => {
  if (!outcome.ok)
    return { ...place, status: "not-validated", code: outcome.fault.code, reason: outcome.fault.message };
  const { error, budget } = measured;
  const propagation = { error: error.value, u: budget.u, U: budget.U, k: budget.k };
  const check = validatePropagation({ value: error.value, u: budget.u, U: budget.U }, outcome.value);
  const words = wordsOf(check, outcome.value);
  return { ...place, status: "validated", propagation, monteCarlo: outcome.value, check, words };
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

/**
 * Validates the law of propagation at each measured point of a run by Monte Carlo through the real model (JCGM 101:2008,
 * clause 8). A pure function: same log, result and settings, same digits. A point whose trials leave a sensor's range says so.
 */
export const validatePoints = (
  log: readonly RunEvent[],
  result: Result,
  settings: ValidationSettings = {},
): PointValidation[] =>
  pointSimulations(log, result, settings).map((simulation) => validationOf(simulation, simulatePoint(simulation)));
