/**
 * The sensor: a value object that says how a signal and a temperature belong together. Units are fixed:
 * temperature in °C (ITS-90), resistance in Ω, electromotive force in mV, current in mA.
 */
export const thermocoupleTypes = ["B", "E", "J", "K", "N", "R", "S", "T", "C", "A"] as const;
export type ThermocoupleType = (typeof thermocoupleTypes)[number];

export interface ThermocoupleSensor {
  readonly kind: "thermocouple";
  readonly type: ThermocoupleType;
  /** Added to the reference function: d0 + d1·t + d2·t² …, in mV, t in °C. */
  readonly deviation?: readonly number[];
}

/** Deviation coefficients of one ITS-90 subrange; which names it takes follows from the subrange. */
export interface DeviationCoefficients {
  readonly subrange: number;
  readonly [coefficient: string]: number;
}

export interface ScalePlatinumSensor {
  readonly kind: "platinum";
  readonly equation: "its-90";
  /** Resistance at the triple point of water, 0.01 °C, in Ω. */
  readonly rtpw: number;
  readonly coefficients: readonly DeviationCoefficients[];
}

export interface CallendarVanDusenSensor {
  readonly kind: "platinum";
  readonly equation: "callendar-van-dusen";
  /** Resistance at 0 °C, in Ω. */
  readonly r0: number;
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

export interface ThermistorSensor {
  readonly kind: "thermistor";
  readonly equation: "steinhart-hart";
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d?: number;
}

export interface LoopSensor {
  readonly kind: "loop";
  /** Temperature at the first end of the current span, in °C. */
  readonly lower: number;
  /** Temperature at the second end of the current span, in °C. */
  readonly upper: number;
  /** Current span in mA; 4 to 20 where nothing else is said. */
  readonly current?: readonly [number, number];
  readonly inner?: Sensor;
}

export interface IndicationSensor {
  readonly kind: "indication";
}

/**
 * A temperature switch: a contact that says only on which side of its trip it is. It has no signal per °C, so it can be
 * prepared as no thermometer; what its changes say is evaluated from a slow ramp.
 */
export interface SwitchSensor {
  readonly kind: "switch";
  /** What the contact does when the temperature rises past its trip. */
  readonly onRise: "opens" | "closes";
  /** Temperature at which it shall act, °C. */
  readonly trip: number;
  /** The direction in which the trip is defined: rising for a high alarm, falling for a low one. */
  readonly tripsOn: "rising" | "falling";
  /** Temperature at which it shall come back, °C, with limits ± of its own, K. */
  readonly reset?: { readonly temperature: number; readonly kelvin: number };
  /** Limits of the dead band, the distance between trip and reset, K. */
  readonly deadBand?: { readonly minimum: number; readonly maximum: number };
  /** By how much the switch is slower than the reference in this source, s, known to ± halfWidth. */
  readonly lag?: { readonly seconds: number; readonly halfWidth: number };
}

export type Sensor =
  | ThermocoupleSensor
  | ScalePlatinumSensor
  | CallendarVanDusenSensor
  | ThermistorSensor
  | LoopSensor
  | IndicationSensor
  | SwitchSensor;
