import { failure, success, type Outcome } from "#fault";
import type { Budget } from "../budget.ts";
import { checkedBudget } from "../checked-budget.ts";
import { combine } from "../combine.ts";
import { simulate } from "./simulate.ts";
import type { Simulated, SimulationSettings } from "./simulation-run.ts";
import type { BlockModel, InputQuantity } from "./trials.ts";

/** The sum of sensitivity times input, as a model of many trials. */
export const additiveModel = (sensitivities: readonly number[]): BlockModel => ({
  fill: (columns, into) => {
    for (const [input, column] of columns.entries()) {
      const sensitivity = sensitivities[input]!;
      for (let trial = 0; trial < into.length; trial += 1) into[trial]! += sensitivity * column[trial]!;
    }
  },
});

/** A budget in the terms of `simulate`: inputs about 0, so that large values cost no digits, and what they add up to. */
export interface BudgetSimulation {
  readonly inputs: readonly InputQuantity[];
  readonly sensitivities: readonly number[];
  /** The value of the budget, to be added to what the trials give. */
  readonly centre: number;
  readonly level: number;
}

/** A large k may stand for a level that no double tells from 1. */
const highestLevel = 1 - 1e-12;

/** What Monte Carlo needs of a budget; a given k stands for the level that it has with the budget's degrees of freedom. */
export const budgetSimulation = (budget: Budget): Outcome<BudgetSimulation> => {
  const checked = checkedBudget(budget);
  if (!checked.ok) return checked;
  const combined = combine(budget);
  if (!combined.ok) return combined;
  const { lines } = checked.value;
  const { value, level } = combined.value;
  return success({
    inputs: lines.map(({ name, u, dof, distribution, shape }) => ({
      name,
      u,
      dof,
      distribution,
      ...(shape === undefined ? {} : { shape }),
    })),
    sensitivities: lines.map(({ sensitivity }) => sensitivity),
    centre: value,
    level: Math.min(level, highestLevel),
  });
};

const shifted = ([low, high]: readonly [number, number], by: number): readonly [number, number] => [
  low + by,
  high + by,
];

/** Results of trials about 0, moved to where the budget's value is. */
export const aboutCentre = (simulated: Simulated, centre: number): Outcome<Simulated> => {
  const mean = centre + simulated.mean;
  if (!Number.isFinite(mean))
    return failure("uncertainty.invalid", "The trials are too large for a number; check the units of the lines.");
  const interval = shifted(simulated.interval, centre);
  return success({ ...simulated, mean, interval, shortest: shifted(simulated.shortest, centre) });
};

/**
 * Propagates the distributions of an additive budget by Monte Carlo (JCGM 101:2008, clause 7), at the budget's level. Same
 * budget, trials and seed: the same digits. What cannot be drawn is a failure `uncertainty.invalid`; see `simulate`.
 */
export const simulateBudget = (
  budget: Budget,
  settings: Omit<SimulationSettings, "level" | "limits">,
): Outcome<Simulated> => {
  const prepared = budgetSimulation(budget);
  if (!prepared.ok) return prepared;
  const { inputs, sensitivities, centre, level } = prepared.value;
  const { correlations } = budget;
  const outcome = simulate(additiveModel(sensitivities), inputs, {
    ...settings,
    level,
    ...(correlations === undefined ? {} : { correlations }),
  });
  return outcome.ok ? aboutCentre(outcome.value, centre) : outcome;
};
