import { failure, success, type Outcome } from "#fault";
import type { Sensor, ThermocoupleType } from "#thermometry";
import type { Item, Tolerance } from "../job/item.ts";
import { classTolerance, symmetric, type ToleranceLimits } from "./class-tolerance.ts";

/** What of an item a tolerance may depend on. */
export interface ToleratedItem {
  readonly sensor: Sensor;
  /** Range of use, °C: the span of an item that is not a loop. */
  readonly range?: Item["range"];
}

const typeOf = (sensor: Sensor): ThermocoupleType | undefined => {
  if (sensor.kind === "thermocouple") return sensor.type;
  return sensor.kind === "loop" && sensor.inner !== undefined ? typeOf(sensor.inner) : undefined;
};

/** Whether a class of IEC 60751 can be meant: not when the sensor is known to be something else than platinum. */
const mayBePlatinum = (sensor: Sensor): boolean => {
  if (sensor.kind === "loop") return sensor.inner === undefined || mayBePlatinum(sensor.inner);
  return sensor.kind === "platinum" || sensor.kind === "indication";
};

/** The span of which a percentage is taken: that of a loop's line, else the item's range of use. */
const spanOf = ({ sensor, range }: ToleratedItem): number | undefined => {
  if (sensor.kind === "loop") return Math.abs(sensor.upper - sensor.lower);
  return range === undefined ? undefined : Math.abs(range.upper - range.lower);
};

/** The table's limit, linear between rows; undefined beyond its ends. */
const tableLimit = (rows: NonNullable<Tolerance["kelvinTable"]>, temperature: number): number | undefined => {
  const upper = rows.findIndex((row) => row.temperature >= temperature);
  const high = rows[upper];
  if (high === undefined) return undefined;
  if (high.temperature === temperature) return high.kelvin;
  const low = rows[upper - 1];
  if (low === undefined) return undefined;
  const share = (temperature - low.temperature) / (high.temperature - low.temperature);
  return low.kelvin + share * (high.kelvin - low.kelvin);
};

const agreedLimit = (tolerance: Tolerance, item: ToleratedItem, temperature: number): Outcome<number> => {
  const parts: number[] = [];
  if (tolerance.kelvin !== undefined) parts.push(tolerance.kelvin);
  if (tolerance.percentOfReading !== undefined) parts.push((tolerance.percentOfReading / 100) * Math.abs(temperature));
  if (tolerance.percentOfSpan !== undefined) {
    const span = spanOf(item);
    if (span === undefined) {
      return failure(
        "tolerance.undefined",
        "A tolerance in % of span needs the item's range: give range.lower and range.upper, in °C.",
        {},
      );
    }
    parts.push((tolerance.percentOfSpan / 100) * span);
  }
  if (tolerance.kelvinTable !== undefined) {
    const limit = tableLimit(tolerance.kelvinTable, temperature);
    if (limit === undefined) {
      const [lower, upper] = [tolerance.kelvinTable[0]!.temperature, tolerance.kelvinTable.at(-1)!.temperature];
      return failure(
        "tolerance.undefined",
        `The agreed table goes from ${lower} °C to ${upper} °C. Choose a temperature within, or extend the table with the customer.`,
        { temperature, lower, upper },
      );
    }
    parts.push(limit);
  }
  const limit = tolerance.combine === "sum" ? parts.reduce((sum, part) => sum + part, 0) : Math.max(...parts);
  if (!(Number.isFinite(limit) && limit > 0)) {
    return failure(
      "tolerance.undefined",
      "This tolerance leaves no room at this temperature: a % of reading is nothing at 0 °C. Add a limit in kelvin.",
      { temperature },
    );
  }
  return success(limit);
};

/**
 * Limits in K of an item's tolerance at a temperature in °C: of a class (see `classTolerance`), or from the customer's own
 * figures: ± kelvin, ± % of the temperature in °C, ± % of span, a table over temperature; of several the larger, or their
 * sum where `combine` says so. `tolerance.undefined` outside the class's range, for a class that is not for this sensor, and where nothing is left.
 */
export const toleranceAt = (
  tolerance: Tolerance,
  item: ToleratedItem,
  temperature: number,
): Outcome<ToleranceLimits> => {
  if (tolerance.class !== undefined) {
    if (tolerance.class.startsWith("iec-60751/") && !mayBePlatinum(item.sensor)) {
      return failure(
        "tolerance.undefined",
        `Class ${tolerance.class} is for platinum thermometers; this item is not one. Choose a class for it.`,
        { class: tolerance.class },
      );
    }
    return classTolerance(tolerance.class, typeOf(item.sensor), temperature, tolerance.construction);
  }
  if (!Number.isFinite(temperature)) {
    return failure("tolerance.undefined", "A tolerance needs a temperature that is a finite number, in °C.", {
      temperature: String(temperature),
    });
  }
  const limit = agreedLimit(tolerance, item, temperature);
  return limit.ok ? success(symmetric(limit.value)) : limit;
};
