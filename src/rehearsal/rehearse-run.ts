import { type SimulationInput } from "#bench";
import type { Item, Job } from "#calibration";
import { faultValue } from "#fault";
import type { InstrumentEntry } from "#instruments";
import { seededGenerator } from "#numerics";
import { cellJob, physicalContributions, setPointsOf } from "./cell-job.ts";
import type { Cell } from "./cells.ts";
import { conduct, type RehearsedRun } from "./conduct.ts";
import { drawChance } from "./draw.ts";
import { jobSimulation } from "./job-simulation.ts";
import type { RunOutcome } from "./outcome.ts";
import { outcomesOf } from "./outcome-of.ts";
import { physicsSchema, type Physics } from "./physics.ts";

/** What is rehearsed: a standard cell, or a job of one's own. Plain data that can go to another thread. */
export type Subject =
  | { readonly kind: "cell"; readonly cell: Cell; readonly physics: Physics }
  | { readonly kind: "job"; readonly job: Job; readonly physics: Physics };

/** The physics of a cell: what is asked for, and on top of it what the cell makes hard. */
export const cellPhysics = (cell: Cell, physics: Physics): Physics =>
  physicsSchema.parse({ ...physics, ...cell.physics });

/** Seed of a run: from the seed of the whole, the subject's name and the run's number, so that no table moves another. */
export const runSeed = (seed: number, name: string, index: number): number =>
  Math.floor(seededGenerator(seed).fork(name).fork(index).next() * 4_294_967_296);

const withoutPhysical = (item: Item): Item => ({
  ...item,
  contributions: Object.fromEntries(
    Object.entries(item.contributions).filter(([name]) => !(physicalContributions as readonly string[]).includes(name)),
  ),
});

/** `points`: how many set points are visited at the most. */
const runOf = (subject: Subject, entries: readonly InstrumentEntry[], seed: number, points: number): RehearsedRun => {
  const { physics } = subject;
  const chance = drawChance(physics, seed);
  if (subject.kind === "job") {
    const { job } = subject;
    return { job, simulation: jobSimulation(job, physics, chance), benchItems: job.items, entries, seed };
  }
  const temperatures = setPointsOf(subject.cell, physics, chance).slice(0, points);
  const job = cellJob(subject.cell, physics, chance, temperatures);
  return {
    job,
    simulation: job.bench.simulation as SimulationInput,
    benchItems: job.items.map(withoutPhysical),
    entries,
    seed,
  };
};

/** Conducts one run and sets it beside the truth. Whatever goes wrong is in the outcome: it must not disturb other runs. */
export const rehearseRun = async (
  subject: Subject,
  entries: readonly InstrumentEntry[],
  seed: number,
  points = Number.POSITIVE_INFINITY,
): Promise<RunOutcome> => {
  try {
    const run = runOf(subject, entries, seed, points);
    const conducted = await conduct(run);
    const { items, procedure } = run.job;
    return { seed, ...outcomesOf(conducted, items, subject.physics, procedure), fault: null };
  } catch (thrown) {
    return { seed, points: [], missed: [], fault: faultValue(thrown) };
  }
};
