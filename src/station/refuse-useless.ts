import type { Job, RunOpened } from "#calibration";
import { settlingTarget } from "#engine";
import { Fault } from "#fault";
import { proofObstacles } from "#planning";

/** A person's decision to run a job that can prove nothing, or whose kit does not fit. */
export interface Although {
  readonly reason: string;
  readonly by: string;
}

export type Overridden = NonNullable<RunOpened["overridden"]>;

/**
 * Refuses a run that its own plan refuses: one that could prove nothing (`job.cannot-prove`), or whose probes do not fit the
 * source (`kit.unfit`). Where a person runs it all the same, with a reason, what they set aside is answered, for the log's
 * first line. Limits of kit and items, and calibrations that are over, cannot be set aside: those are refused before this.
 */
export const refuseUseless = (job: Job, day: string, although: Although | null): Overridden => {
  const obstacles = proofObstacles(job, { day, target: settlingTarget });
  const [first] = obstacles;
  if (first === undefined) return [];
  if (although !== null) return obstacles.map(({ code, message }) => ({ code, message, ...although }));
  throw new Fault(
    first.code,
    `${first.message} If it is to be run all the same, give a reason (--although "..." on the command line, although in a request): it stands in the log with your name.`,
    { data: { ...first.data, obstacles } },
  );
};
