export {
  celsius,
  kelvin,
  milliampere,
  millivolt,
  ohm,
  second,
  signalUnits,
  type Celsius,
  type Kelvin,
  type Milliampere,
  type Millivolt,
  type Ohm,
  type Quantity,
  type Second,
  type SignalUnit,
} from "./units.ts";
export { reported, reportedUncertainty, roundedTo, type ReportedUncertainty, type ReportedValue } from "./reported.ts";
