import { failure, type FaultValue } from "#fault";
import { loopLevels } from "./loop.ts";
import type { Relation } from "./relation.ts";

type Failure = { readonly ok: false; readonly fault: FaultValue };

/** A figure for a sentence: short, without the crumbs of binary fractions. */
const plain = (value: number): string => String(Number(value.toPrecision(7)));

export const notFinite = (quantity: "signal" | "temperature", value: number): Failure =>
  failure("input.invalid", `The ${quantity} is not a finite number. Give a reading, or leave the value out.`, {
    quantity,
    value: String(value),
  });

export const temperatureOutside = ({ name, temperatures }: Relation, temperature: number): Failure =>
  failure(
    "thermometry.out-of-range",
    `${plain(temperature)} °C lies outside the range of ${name}, ${plain(temperatures.lower)} °C to ${plain(temperatures.upper)} °C. Choose a temperature within, or a sensor whose range holds it.`,
    { quantity: "temperature", value: temperature, lower: temperatures.lower, upper: temperatures.upper, unit: "°C" },
  );

export const coldJunctionOutside = ({ name, temperatures }: Relation, coldJunction: number): Failure =>
  failure(
    "thermometry.out-of-range",
    `A reference junction at ${plain(coldJunction)} °C lies outside the range of ${name}, ${plain(temperatures.lower)} °C to ${plain(temperatures.upper)} °C. Check the junction's temperature.`,
    {
      quantity: "coldJunction",
      value: Number.isFinite(coldJunction) ? coldJunction : String(coldJunction),
      lower: temperatures.lower,
      upper: temperatures.upper,
      unit: "°C",
    },
  );

export const signalOutside = (
  { name, signals, temperatures, unit }: Relation,
  signal: number,
  junction: number,
): Failure => {
  const lower = signals.lower - junction;
  const upper = signals.upper - junction;
  return failure(
    "thermometry.out-of-range",
    `${plain(signal)} ${unit} is not a signal of ${name}, which gives ${plain(lower)} ${unit} to ${plain(upper)} ${unit} from ${plain(temperatures.lower)} °C to ${plain(temperatures.upper)} °C. Check connections, polarity, range and the sensor's type.`,
    { quantity: "signal", value: signal, lower, upper, unit },
  );
};

export const failureSignal = (signal: number): Failure => {
  const { atOrBelow, atOrAbove } = loopLevels.failure;
  return failure(
    "loop.failure-signal",
    `${plain(signal)} mA is a failure signal (NAMUR NE 43: ${atOrBelow} mA or less, ${atOrAbove} mA or more). The transmitter reports a fault of its own or of its sensor: check the sensor, its wiring and the loop supply.`,
    { quantity: "signal", value: signal, unit: "mA", atOrBelow, atOrAbove },
  );
};

export const ambiguousSignal = ({ name, unit }: Relation, signal: number, candidates: readonly number[]): Failure =>
  failure(
    "thermometry.ambiguous",
    `${plain(signal)} ${unit} belongs to more than one temperature of ${name}: ${candidates.map((t) => `${plain(t)} °C`).join(" and ")}. Measure at a higher temperature, or use another sensor for this one.`,
    { quantity: "signal", value: signal, unit, candidates },
  );
