/**
 * Numbers that know their unit at compile time. A branded number is an ordinary number at run time; the brand only stops
 * a temperature from being passed where a resistance is wanted.
 */
declare const unit: unique symbol;

export type Quantity<U extends string> = number & { readonly [unit]: U };

/** Temperature on the ITS-90, in degrees Celsius. */
export type Celsius = Quantity<"°C">;
/** Temperature difference or uncertainty of a temperature, in kelvin. */
export type Kelvin = Quantity<"K">;
/** Resistance in ohm. */
export type Ohm = Quantity<"Ω">;
/** Electromotive force in millivolt. */
export type Millivolt = Quantity<"mV">;
/** Current in milliampere. */
export type Milliampere = Quantity<"mA">;
/** Time in seconds. */
export type Second = Quantity<"s">;

export const celsius = (value: number): Celsius => value as Celsius;
export const kelvin = (value: number): Kelvin => value as Kelvin;
export const ohm = (value: number): Ohm => value as Ohm;
export const millivolt = (value: number): Millivolt => value as Millivolt;
export const milliampere = (value: number): Milliampere => value as Milliampere;
export const second = (value: number): Second => value as Second;

/** The units in which a signal is measured; the spelling is that of the records. */
export const signalUnits = ["°C", "Ω", "mV", "mA"] as const;
export type SignalUnit = (typeof signalUnits)[number];

/** What a channel can be read in: a measured unit, or a contact, which reads 0 (open) or 1 (closed) and has no unit. */
export const channelUnits = [...signalUnits, "contact"] as const;
export type ChannelUnit = (typeof channelUnits)[number];

/** The unit of a channel that measures. A contact where a measurement is meant is a defect of the caller: thrown. */
export const measuredUnit = (unit: ChannelUnit): SignalUnit => {
  if (unit === "contact") throw new RangeError("a contact is not measured in a unit");
  return unit;
};
