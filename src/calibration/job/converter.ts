import { failure, success, unwrap, type Outcome } from "#fault";
import { prepare, type PreparedSensor } from "#thermometry";
import type { Item } from "./item.ts";
import type { Job } from "./job.ts";
import { isSwitch } from "./switch-sweeps.ts";

/** Signals of a job's channels as temperatures, °C. Sensors are worked in once. */
export interface JobConverter {
  reference(signal: number): Outcome<number>;
  /** `junction` is the reference junction's temperature where a channel reads it. */
  item(item: string, signal: number, junction?: number): Outcome<number>;
}

interface PreparedItem {
  readonly item: Item;
  readonly sensor: PreparedSensor;
}

const toTemperature = (sensor: PreparedSensor, signal: number, coldJunction: number): Outcome<number> => {
  const converted = sensor.temperature(signal, { coldJunction });
  return converted.ok ? success(converted.value.temperature) : converted;
};

/** Throws a Fault where a sensor's coefficients cannot describe a thermometer. */
export const jobConverter = (job: Job): JobConverter => {
  const reference = unwrap(prepare(job.kit.reference.sensor));
  const items = new Map<string, PreparedItem>(
    job.items
      .filter((item) => !isSwitch(item))
      .map((item) => [item.id, { item, sensor: unwrap(prepare(item.sensor)) }]),
  );
  const switches = new Set(job.items.filter(isSwitch).map(({ id }) => id));
  return {
    reference: (signal) => toTemperature(reference, signal, 0),
    item: (id, signal, junction) => {
      const prepared = items.get(id);
      if (switches.has(id)) return failure("thermometry.unsupported", "A switch gives no temperature.", { item: id });
      if (prepared === undefined) return failure("internal", `The job has no item "${id}".`);
      const read = prepared.item.coldJunction?.kind === "channel";
      if (read && junction === undefined) {
        return failure(
          "signal.out-of-range",
          `The reference junction of ${prepared.item.tag} was not read, so its signal gives no temperature.`,
        );
      }
      return toTemperature(prepared.sensor, signal, read ? junction! : 0);
    },
  };
};
