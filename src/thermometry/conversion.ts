/** A temperature and the signal that belongs to it, with the slope there. */
export interface Conversion {
  /** °C, on the ITS-90. */
  readonly temperature: number;
  /** In the sensor's own unit: Ω, mV, mA or °C. */
  readonly signal: number;
  /** Signal per °C at that temperature. */
  readonly slope: number;
}

export interface ConversionOptions {
  /** Temperature of the reference junction, °C; 0 where nothing is said. Other sensors than thermocouples ignore it. */
  readonly coldJunction?: number;
}

export interface ArrayOptions {
  /** One reference-junction temperature for all elements, or one each, °C. */
  readonly coldJunction?: number | Float64Array;
}

/** Closed interval, its lower end first. */
export interface Interval {
  readonly lower: number;
  readonly upper: number;
}

/**
 * What became of one element of an array. Where it is not `converted`, its value and slope are NaN, so that nobody can
 * take an older number for a result; the scalar form gives the sentence that belongs to it.
 */
export const conversionStatus = { converted: 0, outOfRange: 1, ambiguous: 2, failureSignal: 3, notFinite: 4 } as const;
export type ConversionStatus = (typeof conversionStatus)[keyof typeof conversionStatus];

/** Where the array forms write; each at least as long as the input. Nothing is allocated per element. */
export interface ConversionArrays {
  readonly values: Float64Array;
  readonly statuses: Uint8Array;
  /** Signal per °C, when wanted. */
  readonly slopes?: Float64Array;
}

/** Answers of `Relation.temperatureAt` that are not a temperature. None of them can be taken for one. */
export const outside = Number.POSITIVE_INFINITY;
export const failing = Number.NEGATIVE_INFINITY;
export const ambiguous = Number.NaN;
