import { failure, success, type Outcome } from "#fault";
import { temperatureOf, type Sensor } from "#thermometry";
import type { Item } from "../job/item.ts";
import type { Reference } from "../job/kit.ts";
import type { ChannelReadings } from "../log/channel-readings.ts";
import { leastDigit } from "./least-digit.ts";

/** Readings of an item, each with the reference at the same moment; columns of equal length. */
export interface PairedReadings {
  readonly times: Float64Array;
  readonly itemSignals: Float64Array;
  readonly itemTemperatures: Float64Array;
  readonly referenceSignals: Float64Array;
  readonly referenceTemperatures: Float64Array;
  /** Item − reference, K. */
  readonly differences: Float64Array;
  /** The reference junction at each moment, and its mean, °C; undefined where the item has none. */
  readonly junctions: Float64Array | undefined;
  readonly junction: number | undefined;
  readonly itemDigit: WrittenDigit;
  readonly referenceDigit: WrittenDigit;
  readonly itemOrigin: readonly number[];
  readonly referenceOrigin: readonly number[];
  readonly junctionOrigin: readonly number[];
}

/** What the last digit stood for: as it came over the wire, and in the shortest decimal form of the stored values. */
export interface WrittenDigit {
  readonly wire: number | undefined;
  readonly values: number;
}

export interface Window {
  readonly from: number;
  readonly to: number;
}

/** Usable readings of a channel in the window, with the digit they were written in. */
const usable = (channel: ChannelReadings, { from, to }: Window): number[] => {
  const indices: number[] = [];
  // The ends of the window were taken from reading times: what binary rounding does to them must not cost a reading.
  for (
    let index = channel.firstFrom(from - 1e-6);
    index < channel.length && channel.times[index]! <= to + 1e-6;
    index += 1
  ) {
    if (channel.rejected[index] === 0) indices.push(index);
  }
  return indices;
};

const digitOf = (channel: ChannelReadings, indices: readonly number[]): WrittenDigit => {
  const texts = indices.map((index) => channel.wireOf(index)).filter((text) => text !== undefined);
  return {
    wire: texts.length === 0 ? undefined : leastDigit(texts),
    values: leastDigit(indices.map((index) => String(channel.values[index]))),
  };
};

/**
 * The digit that counts: the coarser of the wire's and `declared` (the readout's, or the item's own display). Where
 * neither is known, readings were typed by hand or came from a file, and their own digits must do.
 */
export const digitThatCounts = (written: WrittenDigit, declared: number): number => {
  const known = Math.max(written.wire ?? 0, declared);
  return known > 0 ? known : written.values;
};

/** The middle one of the steps between readings, s; it says how far apart "the same moment" may be. */
const usualStep = (channel: ChannelReadings, indices: readonly number[]): number => {
  const steps = indices.slice(1).map((index, before) => channel.times[index]! - channel.times[indices[before]!]!);
  return steps.toSorted((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
};

/** Reads a channel at moments in between its readings, and remembers which log lines were used. */
class Interpolated {
  readonly origin = new Set<number>();
  readonly #channel: ChannelReadings;
  readonly #indices: readonly number[];
  readonly #step: number;
  #place = 0;

  constructor(channel: ChannelReadings, window: Window) {
    this.#channel = channel;
    const inside = usable(channel, window);
    this.#step = usualStep(channel, inside);
    // One reading beyond each end, if it is no farther than a step, so that the first and last moment are bracketed too.
    this.#indices = usable(channel, { from: window.from - this.#step, to: window.to + this.#step });
  }

  get digit(): WrittenDigit {
    return digitOf(this.#channel, this.#indices);
  }

  /** Linear between the readings before and after; at an end the nearest one within a step; else undefined. Times must rise. */
  at(time: number): number | undefined {
    const { times } = this.#channel;
    const indices = this.#indices;
    while (this.#place < indices.length && times[indices[this.#place]!]! < time) this.#place += 1;
    const after = indices[this.#place];
    const before = this.#place > 0 ? indices[this.#place - 1] : undefined;
    if (after !== undefined && (times[after] === time || before === undefined))
      return times[after]! - time <= this.#step ? this.#take(after) : undefined;
    if (before === undefined) return undefined;
    if (after === undefined) return time - times[before]! <= this.#step ? this.#take(before) : undefined;
    const share = (time - times[before]!) / (times[after]! - times[before]!);
    const low = this.#take(before);
    return low + share * (this.#take(after) - low);
  }

  #take(index: number): number {
    this.origin.add(this.#channel.eventOf(index));
    return this.#channel.values[index]!;
  }
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const ascending = (set: ReadonlySet<number>): number[] => [...set].sort((a, b) => a - b);

const converted = (
  what: string,
  sensor: Sensor,
  signal: number,
  time: number,
  coldJunction?: number,
): Outcome<number> => {
  const outcome = temperatureOf(sensor, signal, coldJunction === undefined ? {} : { coldJunction });
  return outcome.ok
    ? success(outcome.value.temperature)
    : failure(outcome.fault.code, `${what} at ${time} s: ${outcome.fault.message}`, outcome.fault.data);
};

export interface PairingInput {
  readonly item: Item;
  readonly reference: Reference;
  readonly itemReadings: ChannelReadings;
  readonly referenceReadings: ChannelReadings;
  /** Readings of the reference junction, °C, where it has a channel. */
  readonly junctionReadings: ChannelReadings | undefined;
  readonly window: Window;
  /** Whose readings give the moments: the item's where nothing is said; a typed reference's where only that is typed. */
  readonly moments?: "item" | "reference" | undefined;
}

/** Where pairs are made: at each reading of one channel, the other brought to its moment. */
const momentsOf = ({ itemReadings, referenceReadings, window, moments }: PairingInput) => {
  const [base, other] = moments === "reference" ? [referenceReadings, itemReadings] : [itemReadings, referenceReadings];
  const interpolated = new Interpolated(other, window);
  const indices = usable(base, window);
  const rows = indices.map((index) => {
    const [time, own, brought] = [base.times[index]!, base.values[index]!, interpolated.at(base.times[index]!)];
    const [item, reference] = moments === "reference" ? [brought, own] : [own, brought];
    return { time, item, reference, event: base.eventOf(index) };
  });
  return { rows, interpolated, digit: digitOf(base, indices) };
};

/**
 * Pairs each reading of the item in the window with the reference at the same moment (the signal interpolated linearly
 * between the readings before and after), likewise its reference junction, and turns each pair into temperatures. One
 * signal that gives no temperature makes the whole point fail with its reason: it is never left out in silence.
 */
export const pairReadings = (input: PairingInput): Outcome<PairedReadings> => {
  const { item, reference, window } = input;
  const made = momentsOf(input);
  const junctionAt =
    input.junctionReadings === undefined ? undefined : new Interpolated(input.junctionReadings, window);
  const fixedJunction = item.coldJunction?.kind === "ice-point" ? 0 : undefined;
  const rows: [
    time: number,
    itemSignal: number,
    itemTemperature: number,
    referenceSignal: number,
    referenceTemperature: number,
  ][] = [];
  const junctions: number[] = [];
  const origin = new Set<number>();
  for (const { time, item: itemSignal, reference: referenceSignal, event } of made.rows) {
    const junction = junctionAt === undefined ? fixedJunction : junctionAt.at(time);
    if (itemSignal === undefined || referenceSignal === undefined) continue;
    if (junctionAt !== undefined && junction === undefined) continue;
    const referenceTemperature = converted("The reference", reference.sensor, referenceSignal, time);
    if (!referenceTemperature.ok) return referenceTemperature;
    const itemTemperature = converted(`The item ${item.tag}`, item.sensor, itemSignal, time, junction);
    if (!itemTemperature.ok) return itemTemperature;
    rows.push([time, itemSignal, itemTemperature.value, referenceSignal, referenceTemperature.value]);
    if (junction !== undefined) junctions.push(junction);
    origin.add(event);
  }
  if (rows.length < 2) {
    return failure(
      "input.invalid",
      `Only ${rows.length} reading(s) of ${item.tag} in the window can be paired with the reference; at least 2 are needed.`,
      { readings: rows.length },
    );
  }
  const column = (place: 0 | 1 | 2 | 3 | 4): Float64Array => Float64Array.from(rows, (row) => row[place]);
  return success({
    times: column(0),
    itemSignals: column(1),
    itemTemperatures: column(2),
    referenceSignals: column(3),
    referenceTemperatures: column(4),
    differences: Float64Array.from(rows, (row) => row[2] - row[4]),
    junctions: junctions.length === 0 ? undefined : Float64Array.from(junctions),
    junction: junctions.length === 0 ? undefined : mean(junctions),
    ...(input.moments === "reference"
      ? { itemDigit: made.interpolated.digit, referenceDigit: made.digit }
      : { itemDigit: made.digit, referenceDigit: made.interpolated.digit }),
    ...(input.moments === "reference"
      ? { itemOrigin: ascending(made.interpolated.origin), referenceOrigin: ascending(origin) }
      : { itemOrigin: ascending(origin), referenceOrigin: ascending(made.interpolated.origin) }),
    junctionOrigin: junctionAt === undefined ? [] : ascending(junctionAt.origin),
  });
};
