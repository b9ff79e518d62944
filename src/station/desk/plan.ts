import { checkReference, type Job } from "#calibration";
import type { Plan } from "#contract";
import { obstaclesOf, planCautions, settlingTarget } from "#engine";
import { planJob, planRecord, type LearntPace, type PlanContext } from "#planning";

/** What a plan of this station rests on: the engine's own targets and obstacles, and what its runs have taught. */
export const planContext = (day: string, learnt: LearntPace | null): PlanContext => ({
  day,
  target: settlingTarget,
  obstacles: obstaclesOf,
  learnt,
});

/** The plan of a job as the page shows it: what is to be expected at each point on a day, and what stands in the way. */
export const planOf = (job: Job, context: PlanContext): Plan => {
  const plan = planRecord(planJob(job, context));
  const reference = checkReference(job.kit.reference);
  return {
    ...plan,
    items: plan.items.map((item) => ({
      ...item,
      points: item.points.map((point) => ({ ...point, dominant: [...point.dominant] })),
    })),
    order: {
      ...plan.order,
      points: [...plan.order.points],
      temperatures: [...plan.order.temperatures],
      bound: [...plan.order.bound],
    },
    referenceCheck: reference === null ? null : { agrees: reference.agrees, words: reference.words },
    cautions: [...planCautions(job)],
  };
};
