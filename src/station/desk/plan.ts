import { forecast, type Job } from "#calibration";
import type { Plan } from "#contract";
import { obstaclesOf, planCautions, settlingTarget } from "#engine";

/** The plan of a job as the page shows it: what is to be expected at each point on a day, and what stands in the way. */
export const planOf = (job: Job, day: string): Plan => {
  const expected = forecast(job, { day, target: (item, temperature) => settlingTarget(job, item, temperature) });
  const obstacles = [...obstaclesOf(job, day), ...expected.obstacles].map(({ code, message }) => ({ code, message }));
  return {
    items: expected.items.map(({ item, points }) => ({
      item,
      points: points.map(({ point, temperature, tolerance, note, expectedU, ratio, dominant }) => ({
        point,
        temperature,
        tolerance,
        toleranceNote: note,
        expectedU,
        ratio,
        dominant: [...dominant],
      })),
    })),
    ready: obstacles.length === 0,
    obstacles,
    cautions: [...planCautions(job)],
  };
};
