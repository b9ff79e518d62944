import { findRoot } from "#numerics";
import { failure, success, type Outcome } from "#fault";
import { outside, type Interval } from "./conversion.ts";
import data from "./data/thermistor.json" with { type: "json" };
import type { Relation } from "./relation.ts";
import type { ThermistorSensor } from "./sensor.ts";

const zeroCelsius = 273.15;
const bounds = { lower: Number(data.lower), upper: Number(data.upper) };
const logBounds = { lower: Math.log(Number(data.smallestResistance)), upper: Math.log(Number(data.largestResistance)) };
const roomTemperature = 25;

/** Values of ln R between which 1/T only rises or only falls. */
const stretchesOf = (b: number, c: number, d: number): Interval[] => {
  // Turning points: b + 2d·L + 3c·L² = 0, in the form that does not cancel.
  const roots: number[] = [];
  const discriminant = d * d - 3 * b * c;
  if (c === 0 && d !== 0) roots.push(-b / (2 * d));
  else if (c !== 0 && discriminant > 0) {
    const q = -(d + (d >= 0 ? 1 : -1) * Math.sqrt(discriminant));
    roots.push(q / (3 * c), b / q);
  }
  const inside = roots.filter((root) => root > logBounds.lower && root < logBounds.upper).sort((x, y) => x - y);
  const cuts = [logBounds.lower, ...inside, logBounds.upper];
  return cuts.slice(1).map((upper, index) => ({ lower: cuts[index]!, upper }));
};

/** 1/T = a + b·ln R + c·(ln R)³ + d·(ln R)², on a stretch on which each temperature has one resistance. */
class Thermistor implements Relation {
  readonly name = "this thermistor";
  readonly unit = "Ω" as const;
  readonly temperatures: Interval;
  readonly signals: Interval;
  readonly #logs: Interval;
  readonly #rising: boolean;
  readonly #a: number;
  readonly #b: number;
  readonly #c: number;
  readonly #d: number;

  constructor(sensor: ThermistorSensor, logs: Interval) {
    this.#a = sensor.a;
    this.#b = sensor.b;
    this.#c = sensor.c;
    this.#d = sensor.d ?? 0;
    const atLower = this.#inverse(logs.lower);
    const atUpper = this.#inverse(logs.upper);
    this.#rising = atUpper > atLower;
    const coldest = 1 / (bounds.lower + zeroCelsius);
    const hottest = 1 / (bounds.upper + zeroCelsius);
    const at = (goal: number): number =>
      findRoot((log) => this.#inverse(log) - goal, logs.lower, logs.upper) ?? Number.NaN;
    const clipped = (end: number, value: number): number =>
      value > coldest ? at(coldest) : value < hottest ? at(hottest) : end;
    this.#logs = { lower: clipped(logs.lower, atLower), upper: clipped(logs.upper, atUpper) };
    const ends = [this.#celsius(this.#logs.lower), this.#celsius(this.#logs.upper)];
    this.temperatures = { lower: Math.min(...ends), upper: Math.max(...ends) };
    this.signals = { lower: Math.exp(this.#logs.lower), upper: Math.exp(this.#logs.upper) };
  }

  signalAt(temperature: number): number {
    return Math.exp(this.#logAt(temperature));
  }

  slopeAt(temperature: number): number {
    const log = this.#logAt(temperature);
    const kelvin = temperature + zeroCelsius;
    return -Math.exp(log) / (kelvin * kelvin * this.#inverseSlope(log));
  }

  temperatureAt(signal: number): number {
    const { lower, upper } = this.signals;
    if (!(signal >= lower * (1 - 1e-14) && signal <= upper * (1 + 1e-14))) return outside;
    return this.#celsius(Math.min(Math.max(Math.log(signal), this.#logs.lower), this.#logs.upper));
  }

  #inverse(log: number): number {
    return this.#a + log * (this.#b + log * (this.#d + log * this.#c));
  }

  #inverseSlope(log: number): number {
    return this.#b + log * (2 * this.#d + log * 3 * this.#c);
  }

  #celsius(log: number): number {
    return 1 / this.#inverse(log) - zeroCelsius;
  }

  /** The cubic in ln R solved by Newton's method inside its bracket. */
  #logAt(temperature: number): number {
    const goal = 1 / (temperature + zeroCelsius);
    let { lower, upper } = this.#logs;
    let log = (lower + upper) / 2;
    for (let round = 0; round < 100; round += 1) {
      const miss = this.#inverse(log) - goal;
      if (miss === 0) return log;
      if (miss > 0 === this.#rising) upper = log;
      else lower = log;
      let next = log - miss / this.#inverseSlope(log);
      if (!(next >= lower && next <= upper)) next = (lower + upper) / 2;
      if (Math.abs(next - log) <= 2e-16 * Math.abs(next)) return next;
      log = next;
    }
    return log;
  }
}

/**
 * A thermistor's relation. Coefficients carry no range of their own: it is used between −200 °C and 600 °C and between
 * 1 mΩ and 1 TΩ, on the stretch around 25 °C on which the equation does not turn round.
 */
export const thermistor = (sensor: ThermistorSensor): Outcome<Relation> => {
  const { a, b, c, d = 0 } = sensor;
  const invalid = failure(
    "thermometry.invalid",
    "With these coefficients no resistance between 1 mΩ and 1 TΩ belongs to 25 °C. Check them (resistance in Ω, natural logarithm, temperature in K) against the certificate.",
    { a, b, c, d },
  );
  const room = 1 / (roomTemperature + zeroCelsius);
  const inverse = (log: number): number => a + log * (b + log * (d + log * c));
  const stretches = stretchesOf(b, c, d).filter(
    ({ lower, upper }) => (inverse(lower) - room) * (inverse(upper) - room) < 0,
  );
  // A falling resistance is what thermistors have; a rising one is taken where there is no other.
  const falling = stretches.find(({ lower, upper }) => inverse(upper) > inverse(lower));
  const stretch = falling ?? stretches[0];
  if (stretch === undefined) return invalid;
  const relation = new Thermistor(sensor, stretch);
  const ends = [
    relation.temperatures.lower,
    relation.temperatures.upper,
    relation.signals.lower,
    relation.signals.upper,
  ];
  if (!ends.every((value) => Number.isFinite(value)) || relation.temperatures.upper - relation.temperatures.lower < 1)
    return invalid;
  return success(relation);
};
