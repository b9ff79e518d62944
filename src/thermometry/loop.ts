import { failure, success, type Outcome } from "#fault";
import { failing, outside, type Interval } from "./conversion.ts";
import data from "./data/ne-43.json" with { type: "json" };
import type { Relation } from "./relation.ts";
import type { LoopSensor } from "./sensor.ts";

const [standardFirst, standardSecond] = data.span.map(Number) as [number, number];

/** Signal levels of NAMUR NE 43, in mA. */
export const loopLevels = {
  measuring: { lower: Number(data.measuring.lower), upper: Number(data.measuring.upper) },
  failure: { atOrBelow: Number(data.failure.atOrBelow), atOrAbove: Number(data.failure.atOrAbove) },
} as const;

/** What NE 43 leaves beyond the ends of the span, as a share of it: 1.25 % below and 3.125 % above. */
const share = (current: number): number => Number((current / (standardSecond - standardFirst)).toPrecision(12));
const allowance = {
  below: share(standardFirst - loopLevels.measuring.lower),
  above: share(loopLevels.measuring.upper - standardSecond),
};

const absoluteZero = -273.15;
const zeroSlack = 1e-12;

/** Current in mA along a straight line over temperature in °C. */
class Loop implements Relation {
  readonly name = "this loop";
  readonly unit = "mA" as const;
  readonly temperatures: Interval;
  readonly signals: Interval;
  readonly #lower: number;
  readonly #first: number;
  readonly #slope: number;
  readonly #hasFailureLevels: boolean;

  constructor(sensor: LoopSensor) {
    const [first, second] = sensor.current ?? [standardFirst, standardSecond];
    const low = Math.min(first, second);
    const high = Math.max(first, second);
    this.#hasFailureLevels = low === standardFirst && high === standardSecond;
    // Other spans have no levels of their own: the same shares are allowed beyond their ends.
    this.signals = this.#hasFailureLevels
      ? loopLevels.measuring
      : { lower: low - allowance.below * (high - low), upper: high + allowance.above * (high - low) };
    this.#lower = sensor.lower;
    this.#first = first;
    this.#slope = (second - first) / (sensor.upper - sensor.lower);
    const ends = [this.#line(this.signals.lower), this.#line(this.signals.upper)];
    this.temperatures = { lower: Math.min(...ends), upper: Math.max(...ends) };
  }

  signalAt(temperature: number): number {
    return this.#first + this.#slope * (temperature - this.#lower);
  }

  slopeAt(): number {
    return this.#slope;
  }

  temperatureAt(signal: number): number {
    if (this.#hasFailureLevels && (signal <= loopLevels.failure.atOrBelow || signal >= loopLevels.failure.atOrAbove))
      return failing;
    const { lower, upper } = this.signals;
    return signal >= lower - zeroSlack && signal <= upper + zeroSlack ? this.#line(signal) : outside;
  }

  #line(signal: number): number {
    return this.#lower + (signal - this.#first) / this.#slope;
  }
}

/** A transmitter's relation: a straight line, with the signal levels of NAMUR NE 43 where the span is 4 to 20 mA. */
export const loop = (sensor: LoopSensor): Outcome<Relation> => {
  const { lower, upper, current = [standardFirst, standardSecond] } = sensor;
  const data = { lower, upper, current };
  if (lower < absoluteZero || upper < absoluteZero) {
    return failure(
      "thermometry.invalid",
      `A loop's span cannot begin or end below ${absoluteZero} °C. Check its ends.`,
      data,
    );
  }
  const slope = (current[1] - current[0]) / (upper - lower);
  if (!(Number.isFinite(slope) && Number.isFinite(1 / slope))) {
    return failure(
      "thermometry.invalid",
      "A loop needs two different temperatures at two different currents, all of them finite numbers. Check the ends of its span.",
      data,
    );
  }
  return success(new Loop(sensor));
};
