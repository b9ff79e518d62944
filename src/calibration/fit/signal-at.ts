import type { Outcome } from "#fault";
import { signalOf, type Conversion, type Sensor } from "#thermometry";

/**
 * What a sensor gives at a temperature, with its slope (signal per °C); thermocouples with their reference junction at 0 °C.
 * Failures as of the conversion: outside the range of the equation, coefficients that describe no thermometer.
 */
export const signalAt = (sensor: Sensor, temperature: number): Outcome<Conversion> => signalOf(sensor, temperature);
