import type { Decision, Job, Result, RunEvent } from "#calibration";

/** What a run's log alone says of how far it came. */
export interface RunProgress {
  readonly outcome: "completed" | "stopped" | "failed" | null;
  readonly paused: boolean;
  /** Stops that are measured and not opened again since. */
  readonly measured: number;
}

/** Reads the log once, in order; a repeated point counts again only when it is measured again. */
export const runProgress = (log: readonly RunEvent[]): RunProgress => {
  const measured = new Set<string>();
  let outcome: RunProgress["outcome"] = null;
  let paused = false;
  for (const event of log) {
    if (event.kind === "point-measured") measured.add(`${event.pass} ${event.point}`);
    else if (event.kind === "point-repeated" || event.kind === "point-skipped") measured.delete(`${event.pass} ${event.point}`);
    else if (event.kind === "run-paused") paused = true;
    else if (event.kind === "run-resumed") paused = false;
    else if (event.kind === "run-ended") outcome = event.outcome;
  }
  return { outcome, paused, measured: measured.size };
};

const severity: Readonly<Record<Decision, number>> = { pass: 0, undecided: 1, fail: 2 };

/**
 * One word for the whole run: the worst decision of the items' last measured pass. After an adjustment the as-left pass
 * decides whether the item may stay in service; what was found before stays in the result. Null where nothing was decided.
 */
export const overallDecision = (result: Result): Decision | null => {
  const decisions = result.items.flatMap((item) => {
    const last = item.passes.findLast((pass) => pass.decision !== null);
    return last === undefined || last.decision === null ? [] : [last.decision];
  });
  return decisions.reduce<Decision | null>(
    (worst, decision) => (worst === null || severity[decision] > severity[worst] ? decision : worst),
    null,
  );
};

/** Number of stops that a run of the job has when nothing is skipped. */
export const stopCount = (job: Job): number => job.procedure.passes.length * job.procedure.points.length;
