import { unwrap } from "#fault";
import { signalOf, type Sensor } from "#thermometry";
import { checkCoefficients, type CheckValue, type CoefficientCheck } from "./check-coefficients.ts";
import { withCoefficients } from "./sensor-coefficients.ts";

/** Invented thermometers with eight digits to a coefficient, and the check values that their reports would print. */
export const callendar: Sensor = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100.00731,
  a: 3.9079216e-3,
  b: -5.7812943e-7,
  c: -4.1538276e-12,
};
export const scale: Sensor = {
  kind: "platinum",
  equation: "its-90",
  rtpw: 25.496137,
  coefficients: [{ subrange: 7, a: -2.4871359e-4, b: -3.1256784e-5, c: 4.1738926e-6 }],
};
export const deviated: Sensor = {
  kind: "thermocouple",
  type: "N",
  deviation: [1.2345678e-3, -4.1827365e-5, 3.0918273e-8],
};
export const thermistor: Sensor = {
  kind: "thermistor",
  equation: "steinhart-hart",
  a: 1.1284729e-3,
  b: 2.3410784e-4,
  c: 8.7755613e-8,
};
export const printedValues = (sensor: Sensor, temperatures: readonly number[], digits: number): CheckValue[] =>
  temperatures.map((temperature) => ({
    temperature,
    signal: Number(unwrap(signalOf(sensor, temperature)).signal.toFixed(digits)),
    digits,
  }));
export const callendarValues = printedValues(callendar, [-196, -100, -38, 0, 100, 232, 420], 4);
export const check = (sensor: Sensor, checkValues: readonly CheckValue[]): CoefficientCheck =>
  unwrap(checkCoefficients({ sensor, checkValues }));
export const changed = (sensor: Sensor, changes: Readonly<Record<string, number>>): Sensor =>
  withCoefficients(sensor, new Map(Object.entries(changes)));
