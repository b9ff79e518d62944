import type { Outcome } from "#fault";
import type { Correlation } from "../budget.ts";
import { runTrials, SimulationRun, type Simulated, type SimulationSettings } from "./simulation-run.ts";
import { prepareTrials, type InputQuantity, type Model } from "./trials.ts";

/**
 * Propagates distributions through any model of measurement by Monte Carlo (JCGM 101:2008, clauses 6 and 7): draws the inputs
 * from their distributions, works out y for each trial, and reads mean, u and coverage intervals from the sorted values.
 *
 * Same model, inputs, number of trials and seed: the same digits, also when the trials are shared out over threads
 * (`#parallel`), because they are cut into blocks with random streams of their own. An input's `u` is its standard
 * deviation, except for `student`, where it is the scale s/√n with the input's degrees of freedom. Correlated inputs must be
 * normal (6.4.8) or wholly correlated. A model may answer NaN where it is not defined: then the whole simulation is a
 * failure, like everything else that cannot be worked out, `uncertainty.invalid`.
 */
export const simulate = (
  model: Model,
  inputs: readonly InputQuantity[],
  settings: SimulationSettings & { readonly correlations?: readonly Correlation[] },
): Outcome<Simulated> => {
  const run = SimulationRun.begin(settings);
  if (!run.ok) return run;
  const trials = prepareTrials(model, inputs, settings);
  return trials.ok ? runTrials(run.value, trials.value) : trials;
};
