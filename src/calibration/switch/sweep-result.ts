import { failure, success, type Outcome } from "#fault";
import { temperatureOf } from "#thermometry";
import { leastDigit } from "../evaluate/least-digit.ts";
import type { WrittenDigit } from "../evaluate/pair-readings.ts";
import type { Job } from "../job/job.ts";
import type { Pass } from "../job/procedure.ts";
import type { SwitchItem } from "../job/switch-sweeps.ts";
import type { ChannelReadings } from "../log/channel-readings.ts";
import type { RunEventOf } from "../log/events.ts";
import type { LogView } from "../log/log-view.ts";
import type { SweepResult } from "../result/switch-result.ts";
import { isClosed } from "./contact-watch.ts";

/** So long before a change the reference is asked for its rate, s. What came after it is no part: the ramp may have ended. */
const rateWindow = 120;
/** The reference must have been read this near to the moments of a change, s. */
const nearestReading = 60;

interface ReferenceStretch {
  /** The texts by which its digit is known: as they came over the wire, and the values themselves. */
  readonly wires: string[];
  readonly values: string[];
  readonly times: number[];
  readonly temperatures: number[];
  readonly origin: number[];
}

/** The reference's usable readings between two moments, as temperatures, with one more beyond each end. */
const stretchOf = (job: Job, readings: ChannelReadings, from: number, to: number): Outcome<ReferenceStretch> => {
  const stretch: ReferenceStretch = { times: [], temperatures: [], origin: [], wires: [], values: [] };
  const take = (index: number): Outcome<null> => {
    const converted = temperatureOf(job.kit.reference.sensor, readings.values[index]!);
    if (!converted.ok) return converted;
    stretch.times.push(readings.times[index]!);
    const wire = readings.wireOf(index);
    if (wire !== undefined) stretch.wires.push(wire);
    stretch.values.push(String(readings.values[index]));
    stretch.temperatures.push(converted.value.temperature);
    if (stretch.origin.at(-1) !== readings.eventOf(index)) stretch.origin.push(readings.eventOf(index));
    return success(null);
  };
  let index = readings.firstFrom(from);
  while (index > 0 && readings.times[index - 1]! >= from - nearestReading) {
    index -= 1;
    if (readings.rejected[index] === 0) break;
  }
  for (; index < readings.length; index += 1) {
    if (readings.times[index]! > to + nearestReading) break;
    if (readings.rejected[index] !== 0) continue;
    const taken = take(index);
    if (!taken.ok) return taken;
    if (readings.times[index]! > to) break;
  }
  return success(stretch);
};

/** Linear between the readings before and after; undefined outside them. */
const temperatureAt = ({ times, temperatures }: ReferenceStretch, time: number): number | undefined => {
  const after = times.findIndex((each) => each >= time);
  if (after === -1) return undefined;
  if (times[after] === time || after === 0) return times[after] === time ? temperatures[after] : undefined;
  const share = (time - times[after - 1]!) / (times[after]! - times[after - 1]!);
  return temperatures[after - 1]! + share * (temperatures[after]! - temperatures[after - 1]!);
};

/** Slope of a straight line through the readings, K/s; undefined with fewer than three. */
const slopeOf = ({ times, temperatures }: ReferenceStretch): number | undefined => {
  if (times.length < 3) return undefined;
  const middle = times.reduce((sum, time) => sum + time, 0) / times.length;
  const mean = temperatures.reduce((sum, value) => sum + value, 0) / times.length;
  const square = times.reduce((sum, time) => sum + (time - middle) ** 2, 0);
  if (square === 0) return undefined;
  return times.reduce((sum, time, index) => sum + (time - middle) * (temperatures[index]! - mean), 0) / square;
};

/** The contact really read the old state at `from` and the new one at `to`; a log that says otherwise is not believed. */
const borneOut = (readings: ChannelReadings | undefined, change: RunEventOf<"contact-changed">): boolean => {
  if (readings === undefined) return false;
  const at = (time: number): boolean | undefined => {
    const index = readings.firstFrom(time - 1e-6);
    return index < readings.length && readings.times[index]! <= time + 1e-6
      ? isClosed(readings.values[index]!)
      : undefined;
  };
  if (at(change.to) !== change.closed) return false;
  return change.from === change.to || at(change.from) === !change.closed;
};

/** The change of one ramp as a temperature of the reference; its rate in K/s. */
export interface SeenChange {
  readonly temperature: number;
  readonly rate: number;
  readonly halfWidth: number;
  readonly bounces: number;
  /** Time from the beginning of the ramp to the change, s. */
  readonly since: number;
  readonly referenceDigit: WrittenDigit;
  readonly origin: readonly number[];
}

const seenChange = (
  view: LogView,
  item: SwitchItem,
  change: RunEventOf<"contact-changed">,
  begunAt: number,
): Outcome<SeenChange> => {
  const job = view.jobAt(change.n);
  const reference = view.channels.get(job.kit.reference.channel);
  if (!borneOut(view.channels.get(item.channel), change) || reference === undefined) {
    return failure(
      "log.invalid",
      `Line ${change.n + 1} of the log says that the contact of ${item.tag} changed, but its readings do not show it.`,
      { line: change.n + 1 },
    );
  }
  const moment = (change.from + change.to) / 2;
  const near = stretchOf(job, reference, change.from, change.to);
  if (!near.ok) return near;
  const wide = stretchOf(job, reference, Math.max(begunAt, change.from - rateWindow), change.to);
  if (!wide.ok) return wide;
  const [temperature, rate] = [temperatureAt(near.value, moment), slopeOf(wide.value)];
  if (temperature === undefined || rate === undefined) {
    return failure(
      "input.invalid",
      `The reference was not read before and after the change of ${item.tag}, so that change has no temperature.`,
    );
  }
  return success({
    temperature,
    rate,
    halfWidth: (Math.abs(rate) * (change.to - change.from)) / 2,
    bounces: change.bounces,
    since: Math.max(0, moment - begunAt),
    referenceDigit: {
      wire: wide.value.wires.length === 0 ? undefined : leastDigit(wide.value.wires),
      values: leastDigit(wide.value.values),
    },
    origin: [...new Set([change.n, ...near.value.origin])].sort((a, b) => a - b),
  });
};

export interface SweepOutcome {
  readonly result: SweepResult;
  readonly change: SeenChange | null;
  /** Fault of a flagged one. */
  readonly code?: string | undefined;
  /** How far the reference came where the contact did not change, °C. */
  readonly reached: number | null;
}

interface SweepPlace {
  readonly point: number;
  readonly direction: "rising" | "falling";
  readonly cycle: number;
}

const without = (
  place: SweepPlace,
  status: SweepResult["status"],
  reason: string,
  origin: readonly number[],
): SweepResult => ({
  ...place,
  status,
  temperature: null,
  rate: null,
  bracket: null,
  bounces: 0,
  reason,
  origin,
});

const notMeasured = (view: LogView, place: SweepPlace, pass: Pass): SweepResult => {
  const { skipped } = view.history(pass, place.point);
  if (skipped !== undefined) return without(place, "skipped", `${skipped.reason} (${skipped.by})`, [skipped.n]);
  return view.ended === undefined
    ? without(place, "not-measured", "Not reached yet: the run is still open.", [view.last.n])
    : without(place, "not-measured", `Not reached before the run ended (${view.ended.outcome}).`, [view.ended.n]);
};

/** What one ramp brought for one switch. */
export const sweepResult = (view: LogView, item: SwitchItem, pass: Pass, point: number): SweepOutcome => {
  const planned = view.opened.job.procedure.points[point]!;
  const direction = planned.temperature > planned.sweep!.from ? "rising" : "falling";
  const place: SweepPlace = { point, direction, cycle: planned.sweep!.cycle };
  const { begun, changes, ended } = view.sweep(pass, point);
  const change = changes.get(item.id);
  if (change !== undefined) {
    const seen = seenChange(view, item, change, begun?.at ?? 0);
    if (!seen.ok) {
      const result = without(place, "flagged", seen.fault.message, [change.n]);
      return { result, change: null, code: seen.fault.code, reached: null };
    }
    const result: SweepResult = {
      ...place,
      status: "changed",
      temperature: { value: seen.value.temperature, unit: "°C", origin: seen.value.origin },
      rate: seen.value.rate * 60,
      bracket: { from: change.from, to: change.to },
      bounces: change.bounces,
      reason: null,
      origin: [change.n],
    };
    return { result, change: seen.value, reached: null };
  }
  if (ended?.unchanged.includes(item.id) === true) {
    const { reached } = ended;
    const words = `The contact did not change on the way from ${planned.sweep!.from} °C to ${reached === null ? "the end" : `${reached.toFixed(1)} °C`}.`;
    return { result: without(place, "no-change", words, [ended.n]), change: null, reached };
  }
  return { result: notMeasured(view, place, pass), change: null, reached: null };
};
