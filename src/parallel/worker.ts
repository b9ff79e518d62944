/** What runs on the threads of the pool: nothing but calls of the pure rooms. */
import { move } from "piscina";
import { validatePoint, type PointValidation } from "#calibration";
import { unwrap } from "#fault";
import type { Trials } from "#uncertainty";
import {
  evaluated,
  reassessed,
  trialsOf,
  type BlocksTask,
  type Evaluated,
  type PointTask,
  type ReassessedLog,
  type ReassessTask,
} from "./tasks.ts";

let prepared: { readonly simulation: number; readonly trials: Trials } | undefined;

/** All blocks of a task, one after the other in one array, handed over without copying. */
export const blocks = ({ simulation, problem, first, counts }: BlocksTask): unknown => {
  if (prepared?.simulation !== simulation) prepared = { simulation, trials: unwrap(trialsOf(problem)) };
  const { trials } = prepared;
  const all = new Float64Array(counts.reduce((sum, count) => sum + count, 0));
  let place = 0;
  for (const [index, count] of counts.entries()) {
    all.set(trials.block(first + index, count), place);
    place += count;
  }
  return move(all);
};

export const evaluations = (texts: readonly string[]): Evaluated[] => texts.map(evaluated);

export const reassessments = ({ texts, suspicion }: ReassessTask): ReassessedLog[] =>
  texts.map((text) => reassessed(text, suspicion));

/** One point's validation, whole: nothing of it is left for the thread that asked. */
export const point = ({ simulation, settings }: PointTask): PointValidation => validatePoint(simulation, settings);
