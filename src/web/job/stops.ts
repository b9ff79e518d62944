import { plannedPoints, type Job, type RunView, type Stop } from "#contract";

/** How a stop is named in an address and among the parts of a page. */
export const stopKey = (stop: { readonly pass: string; readonly point: number }): string =>
  `${stop.pass}.${stop.point}`;

export const passWords: Record<Stop["pass"], string> = { "as-found": "as found", "as-left": "as left" };

/** The route before anything was heated: every stop still ahead. */
export const routeAhead = (job: Job): Stop[] =>
  job.procedure.passes.flatMap((pass) =>
    plannedPoints(job.procedure).map(({ temperature, sweep, direction }, point) => ({
      pass,
      point,
      temperature,
      direction:
        sweep === undefined
          ? (direction ?? null)
          : temperature > sweep.from
            ? ("rising" as const)
            : ("falling" as const),
      added: false,
      status: "ahead" as const,
      share: 0,
      reason: null,
      errors: [],
    })),
  );

/** The stop that a run is at; none before it starts and after it ends. */
export const presentStop = (view: RunView | null): Stop | null =>
  view === null || view.stage === "ended"
    ? null
    : (view.route.find((stop) => stop.pass === view.pass && stop.point === view.point) ?? null);
