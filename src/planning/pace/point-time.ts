import { readByHand, readingsByHand, type Item, type Job, type Source } from "#calibration";
import { confirmationGap } from "#settling";
import { rateAt, travelTime, type Pace } from "./pace.ts";

/** What one point will take, s, and between which times it will probably be over. */
export interface PointTime {
  readonly travel: number;
  readonly settle: number;
  readonly read: number;
  readonly total: number;
  readonly shortest: number;
  readonly longest: number;
}

type SensorKind = Item["sensor"]["kind"];

/**
 * Time constants of probes in a dry well, s, at the diameter beside them, mm: the gap of air makes most of it, and the probe's
 * heat grows with its section, its surface with its diameter (common practice, no source).
 */
const dryLags: Readonly<Record<SensorKind, { readonly lag: number; readonly diameter: number }>> = {
  thermocouple: { lag: 15, diameter: 3 },
  platinum: { lag: 35, diameter: 6 },
  loop: { lag: 55, diameter: 6 },
  thermistor: { lag: 30, diameter: 5 },
  indication: { lag: 35, diameter: 6 },
  switch: { lag: 45, diameter: 8 },
};
const lagShare: Readonly<Record<Source["class"], number>> = { bath: 0.25, "dry-block": 1, furnace: 1.4 };

/** Lag of a probe in a source, s. */
export const probeLag = (kind: SensorKind, source: Source["class"], diameter: number | undefined): number => {
  const { lag, diameter: usual } = dryLags[kind];
  return lag * lagShare[source] * ((diameter ?? usual) / usual);
};

/** Share of the settling target that may be missing when a point is called ready, as far as a plan can know. */
const shareMissing = 0.25;

/** The slowest probe of the job in its source, s: reference and items are all waited for. */
const slowestLag = ({ items, kit }: Job): number => {
  const kind = kit.source.class;
  return Math.max(
    probeLag(kit.reference.sensor.kind, kind, kit.reference.diameter),
    ...items.map(({ sensor, diameter }) => probeLag(sensor.kind, kind, diameter)),
  );
};

/** What the times of a job follow from. `target` is the settling target of an item at a temperature, K. */
export interface TimeModel {
  readonly job: Job;
  readonly pace: Pace;
  readonly target: (item: Item, temperature: number) => number;
}

/**
 * Time from a set point to the last reading, coming from another temperature: travel at the source's pace; then the lag
 * behind the ramp, rate times time constant and never more than the step, dies down to a quarter of the target; then the
 * shortest window of judgement and its confirmation; then the readings (rules P11 and P12).
 */
export const pointTime = ({ job, pace, target }: TimeModel, from: number, to: number): PointTime => {
  const { settling } = job.procedure;
  const travel = travelTime(pace, from, to);
  const timeConstant = Math.hypot(pace.rest, slowestLag(job));
  const behind = Math.min(Math.abs(to - from), rateAt(pace, to, to > from) * timeConstant);
  const allowed = shareMissing * Math.min(...job.items.map((item) => target(item, to)));
  const dying = behind > allowed ? timeConstant * Math.log(behind / allowed) : 0;
  const settle = (dying + settling.minimumWindow + confirmationGap) * pace.restFactor;
  // A person who reads comes slower, and nothing else of the point can be made quicker then.
  const { count, interval } = job.items.some((item) => readByHand(job, item))
    ? readingsByHand(job)
    : job.procedure.readings;
  const read = count * interval;
  const { shorter, longer } = pace.doubt;
  return {
    travel,
    settle,
    read,
    total: travel + settle + read,
    shortest: Math.max(settling.minimumWindow, (travel + settle) * (1 - shorter)) + read,
    longest: (travel + settle) * (1 + longer) + read,
  };
};
