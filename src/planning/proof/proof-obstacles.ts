import { forecast, type Item, type Job } from "#calibration";
import type { FaultValue } from "#fault";
import { fitInSource } from "./fit-in-source.ts";
import { improvements } from "./limiting-entry.ts";
import { refusalOf } from "./proof.ts";

/**
 * Why a run of a job would prove nothing, without the rest of a plan: items of which no error could be accepted
 * (`job.cannot-prove`, rule P5), and what does not fit into the source (`kit.unfit`). Empty where it can be run. `day` is
 * year-month-day; `target` gives the settling target of an item at a temperature, K.
 */
export const proofObstacles = (
  job: Job,
  { day, target }: { readonly day: string; readonly target: (job: Job, item: Item, temperature: number) => number },
): readonly FaultValue[] => {
  const foreseen = forecast(job, { day, target: (item, temperature) => target(job, item, temperature) });
  const refusals = job.items.flatMap((item, index) => {
    const points = (foreseen.items[index]?.points ?? []).map(({ temperature, note, result }) => ({
      temperature,
      note,
      measured: result.status === "measured" ? result : null,
    }));
    const refusal = refusalOf(item, job.procedure.decision, points, (measured) =>
      improvements({ job, item, temperature: measured.nominal, day, target }, measured),
    );
    return refusal === null ? [] : [refusal];
  });
  return [...fitInSource(job), ...refusals];
};
