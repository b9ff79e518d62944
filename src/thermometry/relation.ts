import type { SignalUnit } from "#quantity";
import type { Interval } from "./conversion.ts";

/**
 * One sensor kind's equation with its coefficients worked in: bare numbers in and out, so that arrays go through it
 * without allocation. Range, wording and reference junction are dealt with around it.
 */
export interface Relation {
  /** How the sensor is called in a sentence, for instance "type K". */
  readonly name: string;
  readonly unit: SignalUnit;
  /** Published (or usable) range, °C. */
  readonly temperatures: Interval;
  /** Smallest and largest signal within that range. */
  readonly signals: Interval;
  /** Signal at a temperature within the range. */
  signalAt(temperature: number): number;
  /** Signal per °C at a temperature within the range. */
  slopeAt(temperature: number): number;
  /** The temperature of a signal; `outside`, `failing` or `ambiguous` where there is not exactly one. */
  temperatureAt(signal: number): number;
  /** All temperatures of a signal, for the sentence about an ambiguous one. */
  candidatesAt?(signal: number): readonly number[];
}
