import type { Generator } from "#numerics";
import { signalOf } from "#thermometry";
import type { Job } from "../job/job.ts";
import { expectedChanges, isSwitch } from "../job/switch-sweeps.ts";
import type { RunEvent } from "../log/events.ts";

/** How much a well-behaved switch scatters from one change to the next, K: common practice, no source. */
const usualScatter = 0.03;
/** Readings before and after a change that its evaluation looks at, s. */
const around = 180;
const secondsBetweenSweeps = 3600;

type Add = (event: RunEvent) => void;

interface PredictedChange {
  readonly channel: string;
  readonly item: string;
  /** Whether the contact is closed afterwards. */
  readonly closed: boolean;
  /** s after the middle of the ramp. */
  readonly moment: number;
}

const changesOn = (job: Job, direction: "rising" | "falling", rate: number, random: Generator): PredictedChange[] => {
  const switches = job.items.filter(isSwitch);
  const sign = direction === "rising" ? 1 : -1;
  const middle = expectedChanges(switches[0]!)[direction].expected;
  return switches.map((item) => {
    const { expected, closed } = expectedChanges(item)[direction];
    const off = expected - middle + usualScatter * random.normal();
    return { channel: item.channel, item: item.id, closed, moment: (sign * 60 * off) / rate };
  });
};

/** One ramp of switches that act where they should, read by a kit that is exactly right. */
const addSweep = (job: Job, point: number, random: Generator, digit: (signal: number) => number, add: Add): void => {
  const { temperature, sweep } = job.procedure.points[point]!;
  if (sweep === undefined) return;
  const direction = temperature > sweep.from ? ("rising" as const) : ("falling" as const);
  const changes = changesOn(job, direction, sweep.rate, random);
  const middle = (point + 0.5) * secondsBetweenSweeps;
  const moments = changes.map(({ moment }) => moment);
  const [first, last] = [Math.min(...moments), Math.max(...moments)];
  const from = middle + first - around;
  const { interval } = job.procedure.readings;
  const count = Math.ceil((last - first + 2 * around) / interval) + 1;
  const times = Array.from({ length: count }, (_, index) => from + index * interval);
  const to = times[count - 1]!;
  const place = { n: 0, pass: "as-found" as const, point };
  const { reference } = job.kit;
  const expected = expectedChanges(job.items.filter(isSwitch)[0]!)[direction].expected;
  const slope = ((direction === "rising" ? 1 : -1) * sweep.rate) / 60;
  const signals = times.map((time) => {
    const at = signalOf(reference.sensor, expected + slope * (time - middle));
    if (!at.ok) return null;
    const { signal } = at.value;
    const unit = digit(signal);
    return unit === 0 ? signal : Math.round((signal + unit * random.normal()) / unit) * unit;
  });
  if (signals.some((signal) => signal === null)) return;
  add({ kind: "set-point-commanded", ...place, at: from, temperature: sweep.from });
  add({ kind: "ramp-begun", ...place, at: from, from: sweep.from, to: temperature, rate: sweep.rate, by: "steps" });
  add({
    kind: "readings-taken",
    n: 0,
    at: to,
    channel: reference.channel,
    unit: reference.unit,
    times,
    values: signals as number[],
  });
  for (const { channel, item, closed, moment } of changes) {
    const values = times.map((time) => (time >= middle + moment === closed ? 1 : 0));
    add({ kind: "readings-taken", n: 0, at: to, channel, unit: "contact", times, values });
    const after = times.findIndex((time) => time >= middle + moment);
    add({
      kind: "contact-changed",
      ...place,
      at: to,
      item,
      closed,
      from: times[after - 1]!,
      to: times[after]!,
      bounces: 0,
    });
  }
  add({ kind: "ramp-ended", ...place, at: to, unchanged: [], reached: null });
};

/** All ramps of a job with switches, as they would be; nothing for any other job. */
export const addPredictedSweeps = (job: Job, random: Generator, digit: (signal: number) => number, add: Add): void => {
  for (const point of job.procedure.points.keys()) addSweep(job, point, random, digit, add);
};
