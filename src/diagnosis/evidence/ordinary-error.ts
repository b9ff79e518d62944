import { classTolerance, toleranceAt, type Item } from "#calibration";

/**
 * ± limits within which an item of its kind may err without anything being wrong with it, K: class 2 of IEC 60584-1, class B
 * of IEC 60751; for the others common practice, no source. Half of it is what a fault must rise above even where a customer
 * asks for less.
 */
const usualLimit = ({ sensor }: Item, temperature: number): number => {
  switch (sensor.kind) {
    case "thermocouple": {
      const limits = classTolerance("iec-60584-1/2", sensor.type, temperature);
      return limits.ok ? limits.value.upper : Math.max(2.5, 0.0075 * Math.abs(temperature));
    }
    case "platinum":
      return 0.3 + 0.005 * Math.abs(temperature);
    case "loop":
      return 0.002 * Math.abs(sensor.upper - sensor.lower) + 0.1;
    case "thermistor":
      return 0.2;
    default:
      return 0.5;
  }
};

const shareOfUsual = 0.5;

/** ± limits of an ordinary error of calibration: the tolerance, or half of what is usual for the kind where that is more. */
export const ordinaryError =
  (item: Item) =>
  (temperature: number): number => {
    const agreed = toleranceAt(item.tolerance, item, temperature);
    const usual = usualLimit(item, temperature);
    return agreed.ok ? Math.max(agreed.value.upper, -agreed.value.lower, shareOfUsual * usual) : usual;
  };
