/** What runs on the threads of the pool: some runs of one subject, one after the other. */
import type { InstrumentEntry } from "#instruments";
import type { RunOutcome } from "./outcome.ts";
import { rehearseRun, type Subject } from "./rehearse-run.ts";

export interface RunsTask {
  readonly subject: Subject;
  readonly entries: readonly InstrumentEntry[];
  /** Seed of each run, and how many set points it visits at the most (null for all). */
  readonly runs: readonly { readonly seed: number; readonly points: number | null }[];
}

export const runs = async ({ subject, entries, runs: asked }: RunsTask): Promise<readonly RunOutcome[]> => {
  const outcomes: RunOutcome[] = [];
  for (const { seed, points } of asked) outcomes.push(await rehearseRun(subject, entries, seed, points ?? undefined));
  return outcomes;
};
