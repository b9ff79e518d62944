import {
  evaluate,
  parseLog,
  pointModel,
  type PointModelDescription,
  type PointSimulation,
  type Result,
  type ValidationSettings,
} from "#calibration";
import { faultValue, type FaultValue, type Outcome } from "#fault";
import { reassess, type ReassessedRun, type Suspicion } from "#traceback";
import { additiveModel, prepareTrials, type Correlation, type InputQuantity, type Trials } from "#uncertainty";

/** What is simulated, as plain data that can go to another thread. */
export type SimulatedProblem =
  | { readonly kind: "point"; readonly description: PointModelDescription; readonly seed: number }
  | {
      readonly kind: "sum";
      readonly inputs: readonly InputQuantity[];
      readonly sensitivities: readonly number[];
      readonly correlations: readonly Correlation[];
      readonly seed: number;
    };

/** Some consecutive blocks of trials of one simulation: the index of the first, and the number of trials in each. */
export interface BlocksTask {
  /** The same for all tasks of one simulation, so that a thread prepares its model once. */
  readonly simulation: number;
  readonly problem: SimulatedProblem;
  readonly first: number;
  readonly counts: readonly number[];
}

/** One point of a run to be validated. */
export interface PointTask {
  readonly simulation: PointSimulation;
  readonly settings: ValidationSettings;
}

/** Made ready to be worked out block by block; what cannot be drawn is a failure. */
export const trialsOf = (problem: SimulatedProblem): Outcome<Trials> => {
  if (problem.kind === "sum") {
    const { inputs, sensitivities, seed, correlations } = problem;
    return prepareTrials(additiveModel(sensitivities), inputs, { seed, correlations });
  }
  const model = pointModel(problem.description);
  if (!model.ok) return model;
  const { inputs, correlations } = model.value;
  return prepareTrials(model.value.model, inputs, { seed: problem.seed, correlations });
};

/** A run log as text with its result, or why there is none. */
export type Evaluated = { readonly result: Result } | { readonly fault: FaultValue };

/** Evaluates a run log; a log that cannot be evaluated gives its fault and disturbs no other. */
export const evaluated = (text: string): Evaluated => {
  try {
    return { result: evaluate(parseLog(text.split("\n"))) };
  } catch (thrown) {
    return { fault: faultValue(thrown) };
  }
};

/** Run logs as texts, to be evaluated again as if a suspect had been right. */
export interface ReassessTask {
  readonly texts: readonly string[];
  readonly suspicion: Suspicion;
}

/** A run log evaluated again, or why it could not be. */
export type ReassessedLog = { readonly moved: ReassessedRun } | { readonly fault: FaultValue };

/** Evaluates a run log again; a log that cannot be evaluated gives its fault and disturbs no other. */
export const reassessed = (text: string, suspicion: Suspicion): ReassessedLog => {
  try {
    return { moved: reassess(parseLog(text.split("\n")), suspicion) };
  } catch (thrown) {
    return { fault: faultValue(thrown) };
  }
};
