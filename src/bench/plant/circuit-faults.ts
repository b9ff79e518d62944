import type { Sensor } from "#thermometry";
import { sensorSignal, type InputSignal } from "./item-response.ts";
import type { FaultBoard } from "./live-faults.ts";

/** What stands along the way of an item's signal to the readout. */
export interface Circuit {
  readonly channel: string;
  readonly time: number;
  /** What is connected. */
  readonly sensor: Sensor;
  /** Its element, its reference junction and the surroundings, °C. */
  readonly element: number;
  readonly junction: number;
  readonly ambient: number;
}

/** Voltage of the item's own wires between two temperatures, mV. */
const voltage = (sensor: Sensor, hot: number, cold: number): number => {
  const signal = sensorSignal(sensor, hot, cold);
  return signal.kind === "value" ? signal.value : Number.NaN;
};

/** Activation temperature of the insulation's conductance, K. Invented, plausible. */
const activation = 1000;

/**
 * What faults of the circuit between element and terminals make of an item's signal. The head of a probe stands above the
 * surroundings by a fixed amount and by a share of what the source is above them. Own physics, apart from what diagnosis assumes.
 */
export const throughCircuit = (faults: FaultBoard, circuit: Circuit, signal: InputSignal): InputSignal => {
  if (faults.empty()) return signal;
  const { channel, time, sensor, element, junction, ambient } = circuit;
  const short = faults.active("short-circuit", channel, time);
  if (short !== undefined) {
    if (sensor.kind === "thermocouple")
      return { kind: "value", value: voltage(sensor, ambient + short.above, junction) };
    return { kind: "value", value: sensor.kind === "loop" ? 21.8 : short.ohm };
  }
  if (signal.kind === "beyond") return signal;
  let { value } = signal;
  const copper = faults.active("copper", channel, time);
  if (copper !== undefined)
    value -= voltage(sensor, ambient + copper.above + copper.share * (element - ambient), junction);
  const reversal = faults.active("double-reversal", channel, time);
  if (reversal !== undefined)
    value -= 2 * voltage(sensor, ambient + reversal.above + reversal.share * (element - ambient), junction);
  const leak = faults.active("shunt", channel, time);
  if (leak !== undefined) {
    // Insulation conducts more when it is hot, by Arrhenius' law: some seven times as much at 400 °C.
    const hotter = Math.exp(activation * (1 / (ambient + 273.15) - 1 / (element + 273.15)));
    const conductance = hotter / (1000 * leak.kiloohm);
    if (sensor.kind === "platinum" || sensor.kind === "thermistor") value /= 1 + value / (1000 * leak.kiloohm);
    else if (sensor.kind === "thermocouple") value /= 1 + leak.loop * conductance;
    else value /= 1 + leak.loop / (1000 * leak.kiloohm);
  }
  const altered = faults.active("altered", channel, time);
  if (altered !== undefined) value = value * (1 + altered.percent / 100) + altered.add;
  return { kind: "value", value };
};
