import type { Interval, Sensor, ThermocoupleType } from "#thermometry";

/** Equations that can be fitted; the coefficients are those of the sensor's own equation. */
export const fitModels = ["callendar-van-dusen", "its-90", "polynomial", "thermocouple-deviation"] as const;
export type FitModel = (typeof fitModels)[number];

/** One calibration point: temperature in °C and the signal there (Ω for platinum, mV for a thermocouple). */
export interface FitPoint {
  readonly x: number;
  readonly y: number;
  /** Standard uncertainty of y that is this point's own, in the unit of y. */
  readonly u?: number | undefined;
  /** Standard uncertainty of y from a cause that moves all points together (r = 1), in the unit of y. */
  readonly common?: number | undefined;
}

export interface FitInput {
  readonly model: FitModel;
  /** Of the polynomial or the deviation polynomial, 0 to 20. */
  readonly degree?: number | undefined;
  /** Number of the ITS-90 subrange, 1 to 11. */
  readonly subrange?: number | undefined;
  /** Resistance at the triple point of water, Ω, taken as exact; fitted along with the rest where it is left out. */
  readonly rtpw?: number | undefined;
  readonly type?: ThermocoupleType | undefined;
  readonly points: readonly FitPoint[];
  /** Standard uncertainty that all points share: of their temperatures in K, of their signals in the unit of y. */
  readonly common?: { readonly x?: number | undefined; readonly y?: number | undefined } | undefined;
}

export interface CurveFit {
  readonly model: FitModel;
  /** Names of the coefficients, in the order of all lists and of the rows of the covariance. */
  readonly names: readonly string[];
  readonly coefficients: readonly number[];
  /** Null where as many points as coefficients, without stated uncertainties, leave nothing to judge them by. */
  readonly standardErrors: readonly number[] | null;
  /** With what all points share; null as above. */
  readonly covariance: readonly (readonly number[])[] | null;
  /** y minus the curve, at each point, in the unit of y. */
  readonly residuals: readonly number[];
  /**
   * Root of the sum of squared residuals over the degrees of freedom, in the unit of y; where uncertainties are given
   * each residual is divided by its own, so that about 1 is to be expected. Null without degrees of freedom.
   */
  readonly residualStandardDeviation: number | null;
  readonly degreesOfFreedom: number;
  /** Whether the covariance follows from stated uncertainties; otherwise from the scatter of the points. */
  readonly weighted: boolean;
  /** Temperatures that the points span, °C: the curve holds there and nowhere else. */
  readonly range: Interval;
  /** A sensor with these coefficients; null for a polynomial, which is no sensor of ours. */
  readonly sensor: Sensor | null;
  /** What a reader should know, a sentence each. */
  readonly notes: readonly string[];
}
