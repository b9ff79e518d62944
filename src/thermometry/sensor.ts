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

export type Sensor =
  | ThermocoupleSensor
  | ScalePlatinumSensor
  | CallendarVanDusenSensor
  | ThermistorSensor
  | LoopSensor
  | IndicationSensor;
