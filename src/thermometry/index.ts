export {
  thermocoupleTypes,
  type CallendarVanDusenSensor,
  type DeviationCoefficients,
  type IndicationSensor,
  type LoopSensor,
  type ScalePlatinumSensor,
  type Sensor,
  type SwitchSensor,
  type ThermistorSensor,
  type ThermocoupleSensor,
  type ThermocoupleType,
} from "./sensor.ts";
export {
  conversionStatus,
  type ArrayOptions,
  type Conversion,
  type ConversionArrays,
  type ConversionOptions,
  type ConversionStatus,
  type Interval,
} from "./conversion.ts";
export { prepare, type PreparedSensor } from "./prepare.ts";
export { signalOf, signalsOf, temperatureOf, temperaturesOf } from "./convert.ts";
export { referenceRatio, referenceTemperature } from "./reference-ratio.ts";
export { subrangeOf, subranges, type Subrange } from "./subrange.ts";
export { aluminiumRatio, deviationBasis, fittedCoefficients } from "./deviation-basis.ts";
export { callendarVanDusenRange, standardPlatinum } from "./callendar-van-dusen.ts";
export { loopLevels } from "./loop.ts";
