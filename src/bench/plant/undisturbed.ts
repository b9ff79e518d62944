import { unwrap } from "#fault";
import { prepare, type PreparedSensor, type Sensor } from "#thermometry";
import type { BenchPlan } from "./bench-plan.ts";
import type { ChannelSignals } from "./channel-signals.ts";
import { accuracyRow, readoutError, type HiddenTruth } from "./hidden-truth.ts";
import type { InputSignal } from "./item-response.ts";
import type { Motion, MovingItem } from "./motion.ts";

/** Indication less reference of an item as a reader without noise and digits would find it, K. */
export interface UndisturbedDifference {
  /** At the latest tick. */
  readonly now: number;
  /** What it would come to if the medium and the surroundings stayed as they are at this moment. */
  readonly atRest: number;
}

/**
 * Finds an item's difference from the reference without noise, digits and faults, every hidden error of the kit included:
 * what is still missing of it (now − atRest) is the lag, creep and cycling that nothing but waiting takes away. Null
 * where a signal gives no temperature.
 */
export const undisturbedDifference = (options: {
  readonly plan: BenchPlan;
  readonly truth: HiddenTruth;
  readonly motion: Motion;
  readonly signals: ChannelSignals;
}): ((moving: MovingItem) => UndisturbedDifference | null) => {
  const { plan, truth, motion, signals } = options;
  const rows = plan.kit.readout.accuracy;
  const prepared = new Map<Sensor, PreparedSensor>();
  const temperature = (sensor: Sensor, signal: InputSignal, byReadout: boolean, coldJunction?: number) => {
    if (signal.kind === "beyond") return Number.NaN;
    const reader = prepared.get(sensor) ?? unwrap(prepare(sensor));
    prepared.set(sensor, reader);
    const unit = reader.signalUnit;
    const error =
      byReadout && accuracyRow(rows, unit, signal.value) !== null ? readoutError(truth, rows, unit, signal.value) : 0;
    const converted = reader.temperature(signal.value + error, coldJunction === undefined ? {} : { coldJunction });
    return converted.ok ? converted.value.temperature : Number.NaN;
  };
  const difference = (moving: MovingItem, element: number, reference: number): number => {
    const { item } = moving;
    const junction = item.sensor.kind === "thermocouple" ? signals.quietJunction(item) : undefined;
    const shown = temperature(
      item.sensor,
      signals.quietItem(moving, element),
      item.sensor.kind !== "indication",
      junction,
    );
    return shown - temperature(plan.reference.sensor, signals.quietReference(reference), true);
  };
  return (moving) => {
    const now = difference(moving, moving.shown(), motion.reference.element());
    const atRest = difference(moving, moving.shownAtRest(), motion.referenceAtRest());
    return Number.isFinite(now) && Number.isFinite(atRest) ? { now, atRest } : null;
  };
};
