import { expectedChanges, isSwitch, type Job } from "#calibration";
import { pointTime, type PointTime, type TimeModel } from "./point-time.ts";

/** How long a ramp waits at its end for a contact that trails, s: the run's own figure. */
const waitAtEnd = 120;

/** Where the last switch of a job is expected to change on a ramp, °C; the ramp's end where none is. */
const changeExpected = ({ items }: Job, from: number, end: number): number => {
  const direction = end > from ? "rising" : "falling";
  const changes = items.filter(isSwitch).map((item) => expectedChanges(item)[direction].expected);
  if (changes.length === 0) return end;
  return direction === "rising" ? Math.max(...changes) : Math.min(...changes);
};

/**
 * What a point as the procedure has it will take, s. For the ramp of a switch: the way to its beginning, the rest there, and the
 * ramp to where the last switch is expected to change; at the longest to the end of the ramp and the wait there (rule P17).
 */
export const sweepTime = (
  model: TimeModel,
  before: number,
  { temperature, sweep }: Job["procedure"]["points"][number],
): PointTime => {
  const { ramp } = model.job.procedure;
  if (sweep === undefined || ramp === undefined) return pointTime(model, before, temperature);
  const way = pointTime(model, before, sweep.from);
  const settle = ramp.soak + Math.min(way.settle, ramp.soak);
  const seconds = (to: number): number => (60 * Math.abs(to - sweep.from)) / sweep.rate;
  const read = seconds(changeExpected(model.job, sweep.from, temperature)) + ramp.hold;
  const total = way.travel + settle + read;
  const { shorter, longer } = model.pace.doubt;
  return {
    travel: way.travel,
    settle,
    read,
    total,
    shortest: way.travel * (1 - shorter) + ramp.soak + 0.5 * read,
    longest: (way.travel + settle) * (1 + longer) + seconds(temperature) + ramp.hold + waitAtEnd,
  };
};
