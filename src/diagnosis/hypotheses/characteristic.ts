import {
  loopLevels,
  prepare,
  thermocoupleTypes,
  type LoopSensor,
  type Sensor,
  type ThermocoupleType,
} from "#thermometry";
import type { Outcome } from "#fault";

/** A sensor both ways, with NaN where it has no value. */
export interface Characteristic {
  signal(temperature: number, junction: number): number;
  temperature(signal: number, junction: number): number;
}

const [first, second] = [4, 20];

/** The current of a transmitter, held at the ends that NAMUR NE 43 gives it where its span is 4 to 20 mA. */
export const loopCurrent = ({ lower, upper, current = [first, second] }: LoopSensor, temperature: number): number => {
  const line = current[0] + ((current[1] - current[0]) * (temperature - lower)) / (upper - lower);
  if (Math.min(...current) !== first || Math.max(...current) !== second) return line;
  return Math.min(loopLevels.measuring.upper, Math.max(loopLevels.measuring.lower, line));
};

const valueOf = <T>(outcome: Outcome<T>, of: (value: T) => number): number =>
  outcome.ok ? of(outcome.value) : Number.NaN;

export const characteristicOf = (sensor: Sensor): Characteristic => {
  const prepared = prepare(sensor);
  if (!prepared.ok) return { signal: () => Number.NaN, temperature: () => Number.NaN };
  const relation = prepared.value;
  return {
    signal: (temperature, coldJunction) =>
      sensor.kind === "loop"
        ? loopCurrent(sensor, temperature)
        : valueOf(relation.signal(temperature, { coldJunction }), ({ signal }) => signal),
    temperature: (signal, coldJunction) =>
      valueOf(relation.temperature(signal, { coldJunction }), ({ temperature }) => temperature),
  };
};

const types = new Map<ThermocoupleType, Characteristic>();

/** A thermocouple type without deviation. They never change, so each is prepared once. */
export const typeCharacteristic = (type: ThermocoupleType): Characteristic => {
  const known = types.get(type) ?? characteristicOf({ kind: "thermocouple", type });
  types.set(type, known);
  return known;
};

/** Types that are met in works, with how often one is taken for another, relatively (common practice, no source). */
export const typeFrequency: Readonly<Record<ThermocoupleType, number>> = {
  K: 4,
  J: 3,
  T: 2,
  N: 2,
  E: 1,
  R: 1,
  S: 1,
  B: 0.5,
  C: 0.2,
  A: 0.1,
};

export const otherTypes = (type: ThermocoupleType): readonly ThermocoupleType[] =>
  thermocoupleTypes.filter((other) => other !== type);
