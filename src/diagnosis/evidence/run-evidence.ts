import {
  covarianceBetween,
  logView,
  type ChannelReadings,
  type Item,
  type Job,
  type LogView,
  type MeasuredPoint,
  type Pass,
  type Result,
  type RunEvent,
} from "#calibration";
import { temperatureOf } from "#thermometry";
import type { BenchEvidence, ItemEvidence, PointEvidence } from "./evidence.ts";
import { ordinaryError } from "./ordinary-error.ts";

/** A point as it is known: measured and evaluated, or only seen. */
interface Known extends PointEvidence {
  readonly measured: MeasuredPoint | null;
  /** Standard uncertainty of its error, K. */
  readonly u: number;
}

interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Standard uncertainty of an error that was not evaluated although a window was measured, K (ours). */
const roughU = 0.5;
/** Of one from readings under way: probe and source are not at rest; so many kelvins, and so many seconds of the movement (ours). */
const restlessU = { fixed: 3, seconds: 200 } as const;
/** Readings under way that are looked at, s. */
const lookBack = 30;
/** Movement of the reference above which readings under way say nothing, K/s. */
const fastestToTell = 0.02;

/** Least standard deviation of a signal: digits, and drift of a junction between two readings (ours). */
const leastFloor: Readonly<Record<string, number>> = { Ω: 0.001, mV: 0.0005, mA: 0.003, "°C": 0.01 };

const meanWithin = (readings: ChannelReadings | undefined, { from, to }: Stretch): number | null => {
  if (readings === undefined) return null;
  let [sum, count] = [0, 0];
  for (let index = readings.firstFrom(from); index < readings.length && readings.times[index]! <= to; index += 1) {
    if (readings.rejected[index] === 1) continue;
    sum += readings.values[index]!;
    count += 1;
  }
  return count === 0 ? null : sum / count;
};

/** Whether a channel showed the same digits all the time. */
const stillWithin = (readings: ChannelReadings | undefined, { from, to }: Stretch): boolean => {
  if (readings === undefined) return false;
  const first = readings.firstFrom(from);
  for (let index = first; index < readings.length && readings.times[index]! <= to; index += 1)
    if (readings.values[index] !== readings.values[first]) return false;
  return true;
};

const temperatureFrom = (job: Job, signal: number): number | null => {
  const converted = temperatureOf(job.kit.reference.sensor, signal);
  return converted.ok ? converted.value.temperature : null;
};

/** What the channels showed over a stretch of time, whether or not it makes a temperature. */
const seenWithin = (view: LogView, item: Item, stretch: Stretch): Omit<Known, "point" | "u" | "measured"> | null => {
  const { job } = view.opened;
  const referenceSignal = meanWithin(view.channels.get(job.kit.reference.channel), stretch);
  const signal = meanWithin(view.channels.get(item.channel), stretch);
  const junction =
    item.coldJunction?.kind === "channel" ? meanWithin(view.channels.get(item.coldJunction.channel), stretch) : 0;
  const reference = referenceSignal === null ? null : temperatureFrom(job, referenceSignal);
  if (referenceSignal === null || signal === null || junction === null || reference === null) return null;
  const still = stillWithin(view.channels.get(item.channel), stretch);
  return { reference, referenceSignal, signal, junction, scatter: null, still };
};

const scatterOf = ({ budget, effectiveReadings }: MeasuredPoint): number | null => {
  const line = budget.lines.find(({ id }) => id === "item.repeatability");
  return line === undefined ? null : line.contribution * Math.sqrt(effectiveReadings);
};

/** Readings of a point that was commanded and is neither measured nor skipped, if the source has nearly come to rest. */
const underWay = (view: LogView, log: readonly RunEvent[], item: Item, pass: Pass): Known | null => {
  const command = log.findLast((event) => event.kind === "set-point-commanded");
  if (command?.kind !== "set-point-commanded" || command.pass !== pass) return null;
  const { measured, skipped } = view.history(pass, command.point);
  const channel = view.channels.get(item.channel);
  if (measured !== undefined || skipped !== undefined || channel === undefined || channel.length === 0) return null;
  const to = channel.times[channel.length - 1]!;
  const from = Math.max(command.at, to - lookBack);
  const [early, late] = [
    seenWithin(view, item, { from: from - lookBack, to: from }),
    seenWithin(view, item, { from, to }),
  ];
  if (early === null || late === null || to - command.at < 2 * lookBack) return null;
  const rate = Math.abs(late.reference - early.reference) / lookBack;
  if (rate > fastestToTell) return null;
  return { ...late, point: command.point, measured: null, u: restlessU.fixed + restlessU.seconds * rate };
};

const knownPoints = (
  view: LogView,
  log: readonly RunEvent[],
  { items }: Result,
  item: Item,
  pass: Pass,
): readonly Known[] => {
  const results = items.find((entry) => entry.item === item.id)?.passes.find((entry) => entry.pass === pass);
  const known = (results?.points ?? []).flatMap((result): Known[] => {
    const window = view.history(pass, result.point).measured;
    const seen = window === undefined ? null : seenWithin(view, item, window);
    if (seen === null) return [];
    if (result.status !== "measured") return [{ ...seen, point: result.point, measured: null, u: roughU }];
    return [
      {
        ...seen,
        point: result.point,
        reference: result.reference.value,
        referenceSignal: result.referenceSignal.value,
        signal: result.signal.value,
        scatter: scatterOf(result),
        measured: result,
        u: result.budget.u,
      },
    ];
  });
  const latest = underWay(view, log, item, pass);
  return latest === null ? known : [...known, latest];
};

const digitOf = (job: Job, item: Item, signal: number): number =>
  item.indicationResolution ??
  job.kit.readout.accuracy.find(
    ({ unit, upTo }) => unit === item.unit && (upTo === undefined || Math.abs(signal) <= upTo),
  )?.resolution ??
  0;

const itemEvidence = (job: Job, item: Item, points: readonly Known[]): ItemEvidence => ({
  item: item.id,
  tag: item.tag,
  sensor: item.sensor,
  junction: item.coldJunction?.kind ?? null,
  junctionName:
    item.coldJunction === undefined
      ? null
      : item.coldJunction.kind === "channel"
        ? item.coldJunction.channel
        : `ice point of ${item.id}`,
  points,
  ordinary: ordinaryError(item),
  floor: Math.max(leastFloor[item.unit] ?? 0, digitOf(job, item, points[0]?.signal ?? 0)),
  reach: {
    lower: Math.max(item.limits.minimum, job.kit.reference.range.minimum, job.kit.source.range.minimum),
    upper: Math.min(item.limits.maximum, job.kit.reference.range.maximum, job.kit.source.range.maximum),
  },
});

/**
 * What a run's log shows of one pass: points with their errors' covariances (the budgets' shared quantities), points that could
 * not be evaluated with a rough uncertainty of their own, and the readings of a point under way once the source is nearly at rest.
 */
export const runEvidence = (log: readonly RunEvent[], result: Result, pass: Pass): BenchEvidence => {
  const view = logView(log);
  const { job } = view.opened;
  // A switch has no temperature of its own: there is no pattern over temperature.
  const items = job.items.filter(({ sensor }) => sensor.kind !== "switch");
  const known = items.map((item) => knownPoints(view, log, result, item, pass));
  const all = known.flat();
  return {
    items: items.map((item, index) => itemEvidence(job, item, known[index]!)),
    covariance: all.map((one, row) =>
      all.map((other, column) => {
        if (row === column) return one.u ** 2;
        return one.measured === null || other.measured === null ? 0 : covarianceBetween(one.measured, other.measured);
      }),
    ),
    referenceSensor: job.kit.reference.sensor,
    ambient: job.conditions.ambientTemperature.value,
  };
};
