import type { Job, RunEvent, RunOpened } from "#calibration";
import { evolve } from "./evolve.ts";
import { initialState } from "./open-run.ts";
import type { EngineState } from "./state.ts";

/** What an opening carries of earlier runs, by the items' identifiers in the new job. */
export type LearntBefore = NonNullable<RunOpened["learnt"]>;

/** Whether an earlier run has anything to teach: the same source, one of the same items, both real or both simulated. */
export const mayTeach = (job: Job, simulated: boolean, before: RunOpened): boolean =>
  before.job.kit.source.serial === job.kit.source.serial &&
  (before.seed !== null) === simulated &&
  job.items.some(({ serial }) => before.job.items.some((item) => item.serial === serial));

/**
 * What an earlier run taught about the time that the items of a new job take, from its log alone; what it had learnt from
 * runs before it is in there too. Frozen into the new run's first line, so that its log says all that its forecasts used.
 * The log is read page by page; one that has nothing to teach is left after its first line.
 */
export const learntBefore = async (
  job: Job,
  simulated: boolean,
  pages: AsyncIterable<readonly RunEvent[]> | Iterable<readonly RunEvent[]>,
): Promise<LearntBefore> => {
  let state: EngineState | null = null;
  for await (const page of pages)
    for (const event of page) {
      if (state !== null) state = evolve(state, event);
      else if (event.kind !== "run-opened" || !mayTeach(job, simulated, event)) return {};
      else state = initialState(event);
    }
  if (state === null) return {};
  const { opened, learnt } = state;
  return Object.fromEntries(
    job.items.flatMap(({ id, serial }) => {
      const same = opened.job.items.find((item) => item.serial === serial);
      const known = same === undefined ? undefined : learnt.pace[same.id];
      return known === undefined ? [] : [[id, { way: { ...known.way }, rest: { ...known.rest } }]];
    }),
  );
};
