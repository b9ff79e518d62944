import { unwrap, type Outcome } from "#fault";
import type { ArrayOptions, Conversion, ConversionArrays, ConversionOptions } from "./conversion.ts";
import { prepare, type PreparedSensor } from "./prepare.ts";
import type { Sensor } from "./sensor.ts";

/** A sensor object that comes again is prepared once; it is a value and does not change. */
const known = new WeakMap<Sensor, Outcome<PreparedSensor>>();

const prepared = (sensor: Sensor): Outcome<PreparedSensor> => {
  let outcome = known.get(sensor);
  if (outcome === undefined) {
    outcome = prepare(sensor);
    known.set(sensor, outcome);
  }
  return outcome;
};

/**
 * The temperature in °C of a signal (Ω, mV, mA or °C, by the sensor's kind), with the slope there.
 * Failures: `thermometry.out-of-range`, `thermometry.ambiguous`, `loop.failure-signal`, `thermometry.invalid` for
 * coefficients that cannot be, `input.invalid` for a signal that is not a finite number. Never an extrapolated number.
 */
export const temperatureOf = (sensor: Sensor, signal: number, options: ConversionOptions = {}): Outcome<Conversion> => {
  const outcome = prepared(sensor);
  return outcome.ok ? outcome.value.temperature(signal, options) : outcome;
};

/** The signal that belongs to a temperature in °C, with the slope there. Failures as for `temperatureOf`. */
export const signalOf = (sensor: Sensor, temperature: number, options: ConversionOptions = {}): Outcome<Conversion> => {
  const outcome = prepared(sensor);
  return outcome.ok ? outcome.value.signal(temperature, options) : outcome;
};

/**
 * `temperatureOf` for a whole array, nothing allocated per element. Gives the number of elements that could not be
 * converted; their status says why and their value is NaN. A sensor that cannot be prepared is thrown as a fault.
 */
export const temperaturesOf = (
  sensor: Sensor,
  signals: Float64Array,
  into: ConversionArrays,
  options: ArrayOptions = {},
): number => unwrap(prepared(sensor)).temperatures(signals, into, options);

/** `signalOf` for a whole array; see `temperaturesOf`. */
export const signalsOf = (
  sensor: Sensor,
  temperatures: Float64Array,
  into: ConversionArrays,
  options: ArrayOptions = {},
): number => unwrap(prepared(sensor)).signals(temperatures, into, options);
