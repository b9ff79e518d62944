import type { Outcome } from "#fault";
import { polynomialValue, type Generator } from "#numerics";
import { signalOf, type Sensor } from "#thermometry";
import type { ItemDeviation } from "./simulation.ts";

/** A signal at the input of the readout, or on which side it is beyond what can be. */
export type InputSignal =
  | { readonly kind: "value"; readonly value: number }
  | { readonly kind: "beyond"; readonly sign: 1 | -1 };

/** NAMUR NE 43: a 4-20 mA transmitter that works saturates at 3.8 and 20.5 mA. */
const loopLimits = { lowest: 3.8, highest: 20.5 } as const;

/**
 * An item's own error where the simulation does not give one, drawn from the seed; sizes of used industrial items
 * (common practice, no source). Normal draws.
 */
export const drawDeviation = (sensor: Sensor, generator: Generator): ItemDeviation => {
  const z = (label: string) => generator.fork(label).normal();
  switch (sensor.kind) {
    case "thermocouple":
      return { kelvin: [0.3 * z("offset"), 0.001_5 * z("slope")] };
    case "platinum":
      return sensor.equation === "callendar-van-dusen"
        ? { r0: 0.000_3 * sensor.r0 * z("r0"), a: 2e-6 * z("a") }
        : { kelvin: [0.02 * z("offset"), 0.000_05 * z("slope")] };
    case "thermistor":
      return { kelvin: [0.05 * z("offset"), 0.0005 * z("slope")] };
    case "loop": {
      const span = Math.abs(sensor.upper - sensor.lower);
      return {
        zero: 0.001 * span * z("zero"),
        span: 0.001 * span * z("span"),
        linearity: 0.000_3 * span * z("linearity"),
      };
    }
    case "indication":
      return { kelvin: [0.2 * z("offset"), 0.001 * z("slope")] };
    case "switch":
      return {};
  }
};

/** Error that acts on the indication, K: the polynomial, and a transmitter's zero, span and linearity. */
export const indicationError = (sensor: Sensor, deviation: ItemDeviation, temperature: number): number => {
  const smooth = deviation.kelvin === undefined ? 0 : polynomialValue(deviation.kelvin, temperature);
  if (sensor.kind !== "loop") return smooth;
  const x = (temperature - sensor.lower) / (sensor.upper - sensor.lower);
  return smooth + (deviation.zero ?? 0) + (deviation.span ?? 0) * x + (deviation.linearity ?? 0) * 4 * x * (1 - x);
};

/** The sensor as it really is: platinum with its own constants in place of the nominal ones. */
export const realSensor = (sensor: Sensor, deviation: ItemDeviation): Sensor =>
  sensor.kind === "platinum" && sensor.equation === "callendar-van-dusen"
    ? { ...sensor, r0: sensor.r0 + (deviation.r0 ?? 0), a: sensor.a + (deviation.a ?? 0) }
    : sensor;

const ofOutcome = (outcome: Outcome<{ readonly signal: number }>, sign: 1 | -1): InputSignal =>
  outcome.ok ? { kind: "value", value: outcome.value.signal } : { kind: "beyond", sign };

/** The signal of a sensor at a temperature (°C, Ω, mV, mA); a thermocouple's against its junction. Outside its range: beyond. */
export const sensorSignal = (sensor: Sensor, temperature: number, junction: number): InputSignal => {
  if (sensor.kind === "indication") return { kind: "value", value: temperature };
  if (sensor.kind === "loop") {
    const [low, high] = sensor.current ?? [4, 20];
    const current = low + ((high - low) * (temperature - sensor.lower)) / (sensor.upper - sensor.lower);
    return { kind: "value", value: Math.min(loopLimits.highest, Math.max(loopLimits.lowest, current)) };
  }
  const sign = temperature > 0 ? 1 : -1;
  return sensor.kind === "thermocouple"
    ? ofOutcome(signalOf(sensor, temperature, { coldJunction: junction }), sign)
    : ofOutcome(signalOf(sensor, temperature), sign);
};

/**
 * The item's true error at a temperature: what a reader of its nominal equation takes from it at exactly that
 * temperature, less the temperature, in K; no noise, no resolution, no fault of the kit. Where the deviation acts on the
 * signal, the nominal equation is solved by Newton's method on its forward side. NaN outside the sensor's range.
 */
export const trueError = (sensor: Sensor, deviation: ItemDeviation, temperature: number): number => {
  const shown = temperature + indicationError(sensor, deviation, temperature);
  const actsOnSignal = deviation.millivolt !== undefined || deviation.r0 !== undefined || deviation.a !== undefined;
  if (!actsOnSignal || sensor.kind === "loop" || sensor.kind === "indication") return shown - temperature;
  const real = sensorSignal(realSensor(sensor, deviation), shown, 0);
  if (real.kind === "beyond") return Number.NaN;
  const wanted =
    real.value + (deviation.millivolt === undefined ? 0 : polynomialValue(deviation.millivolt, temperature));
  let guess = shown;
  for (let round = 0; round < 8; round += 1) {
    const nominal = signalOf(sensor, guess);
    if (!nominal.ok) return Number.NaN;
    guess += (wanted - nominal.value.signal) / nominal.value.slope;
  }
  return guess - temperature;
};
