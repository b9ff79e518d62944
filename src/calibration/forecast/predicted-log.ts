import { measuredUnit, type ChannelUnit } from "#quantity";
import { seededGenerator, type Generator } from "#numerics";
import { signalOf } from "#thermometry";
import { logFormat, type RunEvent } from "../log/events.ts";
import type { Item } from "../job/item.ts";
import type { Job } from "../job/job.ts";
import { readoutAccuracy } from "../evaluate/readout-accuracy.ts";
import { isTyped, readByHand, readingsByHand, typedResolution } from "../job/typed-channel.ts";
import { addPredictedSweeps } from "./predicted-sweeps.ts";

export interface ForecastOptions {
  /** Day of the work, year-month-day: the reference will have drifted until then. */
  readonly day: string;
  /** Settling target of an item at a temperature, K. */
  readonly target: (item: Item, temperature: number) => number;
}

/**
 * Share of the settling target that is still missing when a well-behaved point is read. The target itself is the most that
 * is let through, so a point can come out worse than foreseen, but not without being within the target. Common practice,
 * no source.
 */
const usualRemainder = 0.25;
/** A few readings by hand show rest only just: most of the target is left of the bound. Common practice, no source. */
const remainderByHand = 0.8;
const secondsBetweenPoints = 1800;

/** The last digit of the readout for a signal, of the row that the evaluation takes; 0 where its accuracy table does not say. */
const digitOf = ({ kit }: Job, unit: ChannelUnit, signal: number): number => {
  const accuracy = readoutAccuracy(kit.readout, measuredUnit(unit), signal);
  return accuracy.ok ? accuracy.value.resolution : 0;
};

interface Predicted {
  readonly channel: string;
  readonly unit: ChannelUnit;
  /** Null where the sensor has no signal at this temperature. */
  readonly signal: number | null;
}

const signalsAt = (job: Job, temperature: number): Predicted[] => {
  const { reference } = job.kit;
  const ambient = job.conditions.ambientTemperature.value;
  const fromSensor = (sensor: Item["sensor"], coldJunction: number): number | null => {
    const converted = signalOf(sensor, temperature, { coldJunction });
    return converted.ok ? converted.value.signal : null;
  };
  const junctions = job.items.flatMap((item) =>
    item.coldJunction?.kind === "channel" ? [item.coldJunction.channel] : [],
  );
  return [
    { channel: reference.channel, unit: reference.unit, signal: fromSensor(reference.sensor, 0) },
    ...[...new Set(junctions)].map((channel) => ({ channel, unit: "°C" as const, signal: ambient })),
    ...job.items.map((item) => ({
      channel: item.channel,
      unit: item.unit,
      signal: fromSensor(item.sensor, item.coldJunction?.kind === "channel" ? ambient : 0),
    })),
  ];
};

/** Where no digit is stated the readings are taken as this fine, as a share of the signal: a round value must not look coarse. */
const fineDigit = 1e-7;

/** Quiet readings: they scatter by `scatter` digits and are rounded to one, as on a bench at rest. */
const quietReadings = (
  random: Generator,
  signal: number,
  stated: number,
  { count, scatter }: { readonly count: number; readonly scatter: number },
): number[] => {
  const digit = stated > 0 ? stated : fineDigit * Math.max(1, Math.abs(signal));
  return Array.from({ length: count }, () => Math.round((signal + scatter * digit * random.normal()) / digit) * digit);
};

/** A readout's last digit is alive; a step that the eye reads is wider than what the pointer does (common practice, no source). */
const [scatterOfReadout, scatterOfEye] = [1, 0.3];

/**
 * A log as it would be if every instrument were exactly right and every point came to rest as it should: material for
 * the evaluation to say beforehand how good the job can be. It is never stored. The same job gives the same log.
 */
export const predictedLog = (job: Job, { day, target }: ForecastOptions): RunEvent[] => {
  const byHand = job.items.some((item) => readByHand(job, item));
  const { count, interval } = byHand ? readingsByHand(job) : job.procedure.readings;
  const random = seededGenerator(1);
  const log: RunEvent[] = [
    {
      kind: "run-opened",
      format: logFormat,
      n: 0,
      at: 0,
      run: "forecast",
      opened: `${day}T00:00:00Z`,
      software: { name: "forecast", version: "1" },
      seed: null,
      // What a point will be worth does not depend on whether the first is repeated, nor on the closing check.
      job: { ...job, procedure: { ...job.procedure, repeatFirst: undefined, closingCheck: undefined } },
      catalog: [],
    },
    { kind: "pass-begun", n: 1, at: 0, pass: "as-found" },
  ];
  const add = (event: RunEvent): void => void log.push({ ...event, n: log.length } as RunEvent);
  if (job.procedure.ramp !== undefined) {
    addPredictedSweeps(job, random, (signal) => digitOf(job, job.kit.reference.unit, signal), add);
    return log;
  }
  job.procedure.points.forEach(({ temperature }, point) => {
    const start = point * secondsBetweenPoints;
    const from = start + secondsBetweenPoints / 2;
    const times = Array.from({ length: count }, (_, index) => from + index * interval);
    const to = times[times.length - 1]!;
    const place = { n: 0, pass: "as-found" as const, point };
    add({ kind: "set-point-commanded", ...place, at: start, temperature });
    for (const item of job.items) {
      const allowed = target(item, temperature);
      add({
        kind: "point-settled",
        ...place,
        at: from,
        item: item.id,
        evidence: {
          from: from - job.procedure.settling.minimumWindow,
          to: from,
          estimate: 0,
          remainder: (readByHand(job, item) ? remainderByHand : usualRemainder) * allowed,
          standardUncertainty: 0,
          slope: 0,
          slopeStandardError: 0,
          autocorrelation: 0,
          target: allowed,
        },
      });
    }
    for (const { channel, unit, signal } of signalsAt(job, temperature)) {
      if (signal === null) continue;
      add({
        kind: "readings-taken",
        n: 0,
        at: to,
        channel,
        unit,
        times,
        values: quietReadings(random, signal, typedResolution(job, channel) || digitOf(job, unit, signal), {
          count,
          scatter: isTyped(job.bench, channel) ? scatterOfEye : scatterOfReadout,
        }),
      });
    }
    add({ kind: "point-measured", ...place, at: to, from, to });
  });
  return log;
};
