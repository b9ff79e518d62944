import { temperatureOf, type Sensor } from "#thermometry";

/** Smallest error for which a reversed connection is looked for, K: below it nothing can be told from an ordinary error. */
const leastError = 5;

/**
 * Whether a thermocouple's signal makes sense only the other way round: with its sign turned it agrees with the reference
 * at least five times better (the mV of a reversed pair is the negative of the true one; common practice, no source).
 */
export const looksReversed = (
  sensor: Sensor,
  signal: number,
  junction: number | undefined,
  reference: number,
  error: number,
): boolean => {
  if (sensor.kind !== "thermocouple" || Math.abs(error) < leastError) return false;
  const turned = temperatureOf(sensor, -signal, junction === undefined ? {} : { coldJunction: junction });
  return turned.ok && Math.abs(turned.value.temperature - reference) < Math.abs(error) / 5;
};
