export { thermocoupleTypes, type Sensor, type ThermocoupleType } from "./sensor.ts";
