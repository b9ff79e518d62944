import { failure, success, type Outcome } from "#fault";
import type { Interval } from "./conversion.ts";
import { Curve } from "./curve.ts";
import data from "./data/thermocouples.json" with { type: "json" };
import { recentred } from "./exact-decimal.ts";
import { PolynomialPiece, type Exponential } from "./polynomial-piece.ts";
import type { Relation } from "./relation.ts";
import type { ThermocoupleSensor, ThermocoupleType } from "./sensor.ts";

interface PublishedPiece {
  readonly lower: string;
  readonly upper: string;
  readonly coefficients: readonly string[];
  readonly exponential?: { readonly amplitude: string; readonly rate: string; readonly centre: string };
}

/** Beyond this distance from 0 °C the terms in t itself begin to cancel; see `recentred`. */
const expandedAboutZero = 150;
const mostDeviationCoefficients = 16;

/** The published piece, cut where a better-conditioned form of the same polynomial takes over. */
const cutPieces = (piece: PublishedPiece): PublishedPiece[] => {
  const inside = (cut: number): boolean => cut > Number(piece.lower) && cut < Number(piece.upper);
  const bounds = [piece.lower, ...[-expandedAboutZero, expandedAboutZero].filter(inside).map(String), piece.upper];
  return bounds.slice(1).map((upper, index) => ({ ...piece, lower: bounds[index]!, upper }));
};

/** One polynomial for reference function and deviation, in the variable that loses least. */
const coefficientsIn = (lists: readonly (readonly string[])[], centre: string, width: string): Float64Array => {
  const parts = lists.map((list) => recentred(list, centre, width));
  const length = Math.max(...parts.map((part) => part.length));
  return Float64Array.from({ length }, (_, index) => parts.reduce((sum, part) => sum + (part[index] ?? 0), 0));
};

const builtPiece = (piece: PublishedPiece, deviation: readonly number[]): PolynomialPiece => {
  const lower = Number(piece.lower);
  const upper = Number(piece.upper);
  const lists = [piece.coefficients, deviation.map(String)];
  const exponential: Exponential | undefined = piece.exponential && {
    amplitude: Number(piece.exponential.amplitude),
    rate: Number(piece.exponential.rate),
    centre: Number(piece.exponential.centre),
  };
  if (lower <= 0 && upper >= 0) {
    // A width of 1 about 0: the published coefficients themselves, so that 0 °C gives exactly 0 mV.
    return new PolynomialPiece({ lower, upper }, coefficientsIn(lists, "0", "1"), undefined, exponential);
  }
  const centre = Math.round((lower + upper) / 2);
  const width = Math.ceil((upper - lower) / 2);
  const coefficients = coefficientsIn(lists, String(centre), String(width));
  return new PolynomialPiece({ lower, upper }, coefficients, { centre, scale: 1 / width }, exponential);
};

const curveOf = (type: ThermocoupleType, deviation: readonly number[]): Curve =>
  new Curve(
    (data.types[type].pieces as readonly PublishedPiece[])
      .flatMap(cutPieces)
      .map((piece) => builtPiece(piece, deviation)),
  );

const curves = new Map<ThermocoupleType, Curve>();
const referenceCurve = (type: ThermocoupleType): Curve => {
  let curve = curves.get(type);
  if (curve === undefined) {
    curve = curveOf(type, []);
    curves.set(type, curve);
  }
  return curve;
};

/**
 * Emf against temperature with the reference junction at 0 °C, and what a reference junction elsewhere takes away.
 * E(t) = reference function + deviation polynomial; mV, °C.
 */
export class Thermocouple implements Relation {
  readonly name: string;
  readonly unit = "mV" as const;
  readonly #curve: Curve;
  readonly #atZero: number;

  constructor(name: string, curve: Curve) {
    this.name = name;
    this.#curve = curve;
    this.#atZero = curve.value(0);
  }

  get temperatures(): Interval {
    return this.#curve.temperatures;
  }

  get signals(): Interval {
    return this.#curve.signals;
  }

  signalAt(temperature: number): number {
    return this.#curve.value(temperature);
  }

  slopeAt(temperature: number): number {
    return this.#curve.slope(temperature);
  }

  temperatureAt(signal: number): number {
    return this.#curve.solve(signal);
  }

  candidatesAt(signal: number): readonly number[] {
    return this.#curve.candidates(signal);
  }

  /**
   * What is added to a measured emf before the inverse is taken: E(t_cj) − E(0). The second term is zero but for type A
   * (0.0007 mV) and a deviation with a constant term; with it, a junction at 0 °C always leaves the emf as it is.
   */
  junctionEmf(coldJunction: number): number {
    return coldJunction === 0 ? 0 : this.#curve.value(coldJunction) - this.#atZero;
  }
}

/** A thermocouple's relation, or why its deviation cannot be used. */
export const thermocouple = (sensor: ThermocoupleSensor): Outcome<Thermocouple> => {
  const { type, deviation = [] } = sensor;
  if (!Object.hasOwn(data.types, type)) {
    return failure(
      "thermometry.unsupported",
      `There is no thermocouple type "${type}" here. Use one of ${Object.keys(data.types).join(" ")}.`,
      { type },
    );
  }
  if (deviation.every((coefficient) => coefficient === 0))
    return success(new Thermocouple(`type ${type}`, referenceCurve(type)));
  if (deviation.length > mostDeviationCoefficients || !deviation.every((coefficient) => Number.isFinite(coefficient))) {
    return failure(
      "thermometry.invalid",
      `A deviation polynomial must be at most ${mostDeviationCoefficients} finite numbers, in mV. Check the coefficients against the certificate.`,
      { deviation },
    );
  }
  const curve = curveOf(type, deviation);
  const around = curve.stretchAround(expandedAboutZero);
  if (!curve.isFinite || around === undefined || around.direction !== 1) {
    return failure(
      "thermometry.invalid",
      `With this deviation the emf of type ${type} does not rise with temperature. Check the coefficients (mV, powers of °C, constant first) against the certificate.`,
      { deviation },
    );
  }
  return success(new Thermocouple(`type ${type} with its deviation`, curve));
};
