import { evaluate, proposeAdjustment, type RunEvent, type RunOpened } from "#calibration";
import type { Advice } from "./inputs.ts";

/** What the log so far advises for each item: the same evaluation as on the certificate, never a second one. */
export const adviceFrom = (log: readonly RunEvent[]): readonly Advice[] => {
  const { job } = log[0] as RunOpened;
  const result = evaluate(log);
  return job.items.flatMap((item) => {
    const own = result.items.find((candidate) => candidate.item === item.id);
    if (own === undefined) return [];
    const { decision, reason, correction } = proposeAdjustment(own, item, job.procedure.adjustment);
    const adjust = decision === "adjust" && correction !== null;
    return [
      {
        item: item.id,
        adjust,
        zero: correction?.zero ?? 0,
        span: correction?.span ?? 0,
        reason: `${item.tag}: ${reason}`,
      },
    ];
  });
};
