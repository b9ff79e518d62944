import { predictNext } from "#settling";
import { toleranceAt, typedResolution, type Item } from "#calibration";
import { nearEnough } from "../near-enough.ts";
import type { EngineState } from "../state.ts";
import { channelName, pairsOf } from "./hand-state.ts";
import type { HandState } from "./hand.ts";

/** A value that is further off than this is questioned, K: where nothing else is known (*ours*). */
const farOff = 5;
/** Of a difference: so many tolerances off is unlikely in a first reading, so many in a later one (*ours*). */
const tolerancesOff = 4;
/** A reading outside this prediction interval of the earlier ones is questioned; one in a hundred good ones is, too. */
const prediction = 0.99;

interface Expected {
  /** °C. */
  readonly temperature: number;
  /** How far off is still likely, K. */
  readonly within: number;
  readonly why: string;
}

/** What earlier values make likely for the next one; no narrower than `least`. */
const predicted = (values: readonly number[], least: number): { middle: number; within: number } => {
  const next = predictNext(values, prediction) ?? { middle: values[0]!, within: 0 };
  return { ...next, within: Math.max(next.within, least) };
};

const toleranceOf = (item: Item, temperature: number): number => {
  const limits = toleranceAt(item.tolerance, item, temperature);
  return limits.ok ? Math.min(Math.abs(limits.value.lower), Math.abs(limits.value.upper)) : 1;
};

/** An item is expected beside the reference, as far off as it was at its last readings. */
const expectedOfItem = (state: EngineState, hand: HandState, item: Item, reference: number): Expected => {
  const tolerance = toleranceOf(item, reference);
  const first = Math.max(tolerancesOff * tolerance, farOff);
  const pairs = pairsOf(hand, item.id).map((pair) => pair.item - pair.reference);
  if (pairs.length >= 3) {
    const digit = typedResolution(state.job, item.channel);
    const { middle, within } = predicted(pairs, Math.max(tolerance, 3 * (item.unit === "°C" ? digit : 0)));
    return {
      temperature: reference + middle,
      within: Math.min(within, first),
      why: "as its readings before make likely",
    };
  }
  return { temperature: reference, within: first, why: "beside the reference" };
};

/** The reference is expected between where it was and where it is sent, and where it was once it rests. */
const expectedOfReference = (state: EngineState, hand: HandState): Expected | null => {
  const { setPoint, job, learnt } = state;
  if (setPoint === null) return null;
  const own = hand.readings.filter(
    ({ channel, time, withdrawn, temperature }) =>
      channel === job.kit.reference.channel &&
      time >= (hand.begunAt ?? Infinity) &&
      withdrawn === null &&
      temperature !== null,
  );
  if (own.length >= 3) {
    const { middle, within } = predicted(
      own.map(({ temperature }) => temperature!),
      Math.min(1, nearEnough(setPoint.temperature)),
    );
    return { temperature: middle, within: Math.min(within, farOff), why: "as its readings before make likely" };
  }
  const from = learnt.from ?? setPoint.temperature;
  const half = Math.abs(from - setPoint.temperature) / 2;
  const unknown = learnt.from === null ? 2 * nearEnough(setPoint.temperature) : 0;
  return {
    temperature: (from + setPoint.temperature) / 2,
    within: half + farOff + nearEnough(setPoint.temperature) + unknown,
    why: "on the way to the set point",
  };
};

const expectedOf = (state: EngineState, hand: HandState, channel: string): Expected | null => {
  const { job } = state;
  if (channel === job.kit.reference.channel) return expectedOfReference(state, hand);
  const item = job.items.find((each) => each.channel === channel);
  if (item === undefined) {
    const { value, halfWidth } = job.conditions.ambientTemperature;
    return { temperature: value, within: Math.max(15, 3 * halfWidth), why: "near the surroundings" };
  }
  const reference = state.latest[job.kit.reference.channel]?.temperature ?? null;
  return reference === null ? null : expectedOfItem(state, hand, item, reference);
};

const limitsOf = ({ job }: EngineState, channel: string): { minimum: number; maximum: number } | null => {
  if (channel === job.kit.reference.channel) return job.kit.reference.range;
  return job.items.find((item) => item.channel === channel)?.limits ?? null;
};

const places = (typed: string): number => /[.,](\d+)/.exec(typed)?.[1]?.length ?? 0;

/** What a slip of the point, the sign, or two digits would have to be undone to; null where nothing fits. */
const slipOf = (
  value: number,
  typed: string,
  temperatureOf: (value: number) => number | null,
  { temperature, within }: Expected,
): string | null => {
  const digits = places(typed);
  const fits = (candidate: number): boolean => {
    const converted = temperatureOf(candidate);
    return converted !== null && Math.abs(converted - temperature) <= within;
  };
  const tenfold = [
    { candidate: value / 10, digits: digits + 1 },
    { candidate: value * 10, digits: Math.max(0, digits - 1) },
    { candidate: -value, digits },
  ].find(({ candidate }) => fits(candidate));
  if (tenfold === undefined) return null;
  const text = tenfold.candidate.toFixed(tenfold.digits);
  // A zero that only the shift brought is none that anybody read.
  return tenfold.digits > digits ? text.replace(/0$/, "").replace(/\.$/, "") : text;
};

/** A typed value that is about to be taken. */
export interface TypedValue {
  readonly channel: string;
  readonly value: number;
  readonly typed: string;
  readonly temperatureOf: (value: number) => number | null;
}

/**
 * Why a typed value is not likely, as a question to the person who typed it; null where it is. Questioned is what gives no
 * temperature, lies beyond the limits of probe and item, or is far from what the approach and the readings before make likely.
 */
export const questionOf = (
  state: EngineState,
  hand: HandState,
  { channel, value, typed, temperatureOf }: TypedValue,
): string | null => {
  const unit = state.job.bench.channels[channel]!.unit;
  const shown = `${typed.trim()}${/[^\d.,\s]$/.test(typed.trim()) ? "" : ` ${unit}`}`;
  const temperature = temperatureOf(value);
  const expected = expectedOf(state, hand, channel);
  const slip = expected === null ? null : slipOf(value, typed, temperatureOf, expected);
  const meant = slip === null ? "" : ` Is it ${slip}?`;
  const name = channelName(state.job, channel);
  if (temperature === null) return `${shown} gives no temperature for ${name}.${meant}`;
  const limits = limitsOf(state, channel);
  if (limits !== null && (temperature < limits.minimum || temperature > limits.maximum))
    return `${shown} is beyond what ${name} may see (${limits.minimum} °C to ${limits.maximum} °C).${meant}`;
  if (expected === null || Math.abs(temperature - expected.temperature) <= expected.within) return null;
  const off = temperature - expected.temperature;
  return `${shown} is ${Math.abs(off) >= 10 ? Math.abs(off).toFixed(0) : Math.abs(off).toPrecision(2)} K ${off > 0 ? "above" : "below"} what is expected of ${name} ${expected.why}.${meant}`;
};
