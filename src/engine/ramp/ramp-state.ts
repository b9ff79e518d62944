import type { ContactWatch, Job } from "#calibration";

export type RampPhase = "approach" | "reset" | "ramp" | "ended";

/**
 * Where the slow ramp of a switch stands: the fast way to its beginning, the way back past the other change where a contact
 * is not in the state in which the ramp can begin, or the ramp itself. Made from the log alone.
 */
export interface RampProgress {
  readonly phase: RampPhase;
  readonly direction: "rising" | "falling";
  /** Where the slow ramp begins and ends, °C, and its rate, K/min. */
  readonly from: number;
  readonly to: number;
  readonly rate: number;
  /** How often a contact had to be brought back first, since a person last looked. */
  readonly resets: number;
  /** Since when the reference rests near the set point, s. */
  readonly restedSince: number | null;
  readonly begunAt: number | null;
  /** Set point of the ramp and when it was set. */
  readonly setPoint: { readonly temperature: number; readonly at: number } | null;
  /** Since when the set point stands at the ramp's end, s. */
  readonly atEndSince: number | null;
  readonly watches: Readonly<Record<string, ContactWatch>>;
  readonly changed: Readonly<Record<string, { readonly closed: boolean; readonly temperature: number | null }>>;
  /** A pause came in between: the ramp is begun anew. */
  readonly broken: boolean;
}

/** The ramp that the procedure plans for a point; undefined for a point at rest. */
export const plannedSweep = (
  job: Job,
  point: number,
):
  | { readonly from: number; readonly to: number; readonly rate: number; readonly direction: "rising" | "falling" }
  | undefined => {
  const planned = job.procedure.points[point];
  if (planned?.sweep === undefined) return undefined;
  const { from, rate } = planned.sweep;
  return { from, to: planned.temperature, rate, direction: planned.temperature > from ? "rising" : "falling" };
};

/** The temperature that is commanded first for a point: that of the point, or where its ramp begins. */
export const firstSetPoint = (job: Job, stop: { readonly point: number; readonly temperature: number }): number =>
  plannedSweep(job, stop.point)?.from ?? stop.temperature;
