import { failure, success, type Outcome } from "#fault";
import type { Interval } from "./conversion.ts";
import { Curve } from "./curve.ts";
import data from "./data/iec-60751.json" with { type: "json" };
import { PolynomialPiece } from "./polynomial-piece.ts";
import type { Relation } from "./relation.ts";
import type { CallendarVanDusenSensor } from "./sensor.ts";

/** Range of the equation, °C (IEC 60751, 4.2). */
export const callendarVanDusenRange: Interval = { lower: Number(data.lower), upper: Number(data.upper) };

/** The 100 Ω thermometer of IEC 60751. */
export const standardPlatinum: CallendarVanDusenSensor = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: Number(data.standard.r0),
  a: Number(data.standard.a),
  b: Number(data.standard.b),
  c: Number(data.standard.c),
};

/** R = R0·W(t), W = 1 + a·t + b·t² + c·(t − 100)·t³ (the last below 0 °C only), on the stretch where it rises. */
class CallendarVanDusen implements Relation {
  readonly name = "this platinum thermometer (Callendar-Van Dusen)";
  readonly unit = "Ω" as const;
  readonly temperatures: Interval;
  readonly signals: Interval;
  readonly #curve: Curve;
  readonly #r0: number;

  constructor(curve: Curve, r0: number, temperatures: Interval) {
    this.#curve = curve;
    this.#r0 = r0;
    this.temperatures = temperatures;
    this.signals = { lower: r0 * curve.value(temperatures.lower), upper: r0 * curve.value(temperatures.upper) };
  }

  signalAt(temperature: number): number {
    return this.#r0 * this.#curve.value(temperature);
  }

  slopeAt(temperature: number): number {
    return this.#r0 * this.#curve.slope(temperature);
  }

  temperatureAt(signal: number): number {
    return this.#curve.solve(signal / this.#r0);
  }
}

/** Both sides of 0 °C, which every range holds, since a is positive. */
const piecesOf = ({ a, b, c }: CallendarVanDusenSensor, { lower, upper }: Interval): PolynomialPiece[] => [
  new PolynomialPiece({ lower, upper: 0 }, Float64Array.of(1, a, b, -100 * c, c)),
  new PolynomialPiece({ lower: 0, upper }, Float64Array.of(1, a, b)),
];

/**
 * A Callendar-Van Dusen thermometer's relation. It is used from −200 °C to 850 °C, or on the part of that around 0 °C on
 * which these coefficients make the resistance rise and stay positive.
 */
export const callendarVanDusen = (sensor: CallendarVanDusenSensor): Outcome<Relation> => {
  const { r0, a, b, c } = sensor;
  const invalid = (message: string): Outcome<never> => failure("thermometry.invalid", message, { r0, a, b, c });
  if (!(Number.isFinite(r0) && r0 > 0)) return invalid("R0 must be a positive number of ohms.");
  if (!(a > 0)) return invalid("a must be positive: platinum's resistance rises with temperature.");
  const whole = new Curve(piecesOf(sensor, callendarVanDusenRange));
  const around = whole.stretchAround(0);
  if (!whole.isFinite || !Number.isFinite(r0 * whole.signals.upper) || around === undefined) {
    return invalid("These coefficients give a resistance that is not a number. Check them against the certificate.");
  }
  const positive = lowestPositive(whole, around.lower);
  const range = { lower: positive, upper: around.upper };
  const curve = new Curve(piecesOf(sensor, range));
  if (!(range.upper - range.lower > 1) || !curve.rises) {
    return invalid(
      "These coefficients describe a thermometer over less than one degree. Check them against the certificate.",
    );
  }
  return success(new CallendarVanDusen(curve, r0, range));
};

/** The lower end itself, or, where the resistance would not be positive there, the temperature of 0.1 % of R0. */
const lowestPositive = (curve: Curve, lower: number): number => {
  const candidates = curve.candidates(1e-3).filter((t) => t >= lower && t < 0);
  return candidates.at(-1) ?? lower;
};
