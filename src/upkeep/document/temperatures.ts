import { failure, success, type Outcome } from "#fault";
import { temperatureOf } from "#thermometry";
import type { Thermometer } from "./thermometer.ts";

/** A thermometer's readings as temperatures, °C; a failure says which reading gives none. */
export const temperatures = (
  { sensor, junction, id }: Pick<Thermometer, "sensor" | "junction" | "id">,
  readings: readonly number[],
  where: string,
): Outcome<number[]> => {
  const values: number[] = [];
  for (const [index, reading] of readings.entries()) {
    const converted = temperatureOf(sensor, reading, { coldJunction: junction });
    if (!converted.ok)
      return failure(converted.fault.code, `${where}, reading ${index + 1} of ${id}: ${converted.fault.message}`, {
        where,
        reading,
        index,
      });
    values.push(converted.value.temperature);
  }
  return success(values);
};

/** One digit of a thermometer as a difference of temperature at one of its readings, K. */
export const digitInKelvin = (
  { sensor, junction, resolution }: Pick<Thermometer, "sensor" | "junction" | "resolution">,
  reading: number,
): number => {
  const converted = temperatureOf(sensor, reading, { coldJunction: junction });
  return converted.ok ? resolution / Math.abs(converted.value.slope) : 0;
};
