import { failure, success, type FaultValue, type Outcome } from "#fault";
import type { SignalUnit } from "#quantity";
import { callendarVanDusen } from "./callendar-van-dusen.ts";
import {
  conversionStatus,
  failing,
  outside,
  type ArrayOptions,
  type Conversion,
  type ConversionArrays,
  type ConversionOptions,
  type Interval,
} from "./conversion.ts";
import { indication } from "./indication.ts";
import { loop } from "./loop.ts";
import {
  ambiguousSignal,
  coldJunctionOutside,
  failureSignal,
  notFinite,
  signalOutside,
  temperatureOutside,
} from "./range-fault.ts";
import type { Relation } from "./relation.ts";
import { scalePlatinum } from "./scale-platinum.ts";
import type { Sensor } from "./sensor.ts";
import { thermistor } from "./thermistor.ts";
import { thermocouple, Thermocouple } from "./thermocouple.ts";

/** A sensor with its coefficients checked and worked in. Keep it where many values are converted. */
export interface PreparedSensor {
  readonly signalUnit: SignalUnit;
  /** Range over which the sensor is defined, °C. */
  readonly temperatureRange: Interval;
  /** Smallest and largest signal in that range, the reference junction at 0 °C. */
  readonly signalRange: Interval;
  temperature(signal: number, options?: ConversionOptions): Outcome<Conversion>;
  signal(temperature: number, options?: ConversionOptions): Outcome<Conversion>;
  /** All signals to temperatures; the number of elements that could not be converted. */
  temperatures(signals: Float64Array, into: ConversionArrays, options?: ArrayOptions): number;
  /** All temperatures to signals; the number of elements that could not be converted. */
  signals(temperatures: Float64Array, into: ConversionArrays, options?: ArrayOptions): number;
}

class Prepared implements PreparedSensor {
  readonly #relation: Relation;
  readonly #thermocouple: Thermocouple | undefined;

  constructor(relation: Relation) {
    this.#relation = relation;
    this.#thermocouple = relation instanceof Thermocouple ? relation : undefined;
  }

  get signalUnit(): SignalUnit {
    return this.#relation.unit;
  }

  get temperatureRange(): Interval {
    return this.#relation.temperatures;
  }

  get signalRange(): Interval {
    return this.#relation.signals;
  }

  temperature(signal: number, { coldJunction = 0 }: ConversionOptions = {}): Outcome<Conversion> {
    const relation = this.#relation;
    if (!Number.isFinite(signal)) return notFinite("signal", signal);
    const junction = this.#junctionEmf(coldJunction);
    if (Number.isNaN(junction)) return coldJunctionOutside(relation, coldJunction);
    const temperature = relation.temperatureAt(signal + junction);
    if (Number.isFinite(temperature)) return success({ temperature, signal, slope: relation.slopeAt(temperature) });
    if (temperature === outside) return signalOutside(relation, signal, junction);
    if (temperature === failing) return failureSignal(signal);
    return ambiguousSignal(relation, signal, relation.candidatesAt?.(signal + junction) ?? []);
  }

  signal(temperature: number, { coldJunction = 0 }: ConversionOptions = {}): Outcome<Conversion> {
    const relation = this.#relation;
    if (!Number.isFinite(temperature)) return notFinite("temperature", temperature);
    const junction = this.#junctionEmf(coldJunction);
    if (Number.isNaN(junction)) return coldJunctionOutside(relation, coldJunction);
    const { lower, upper } = relation.temperatures;
    if (temperature < lower || temperature > upper) return temperatureOutside(relation, temperature);
    const signal = relation.signalAt(temperature) - junction;
    return success({ temperature, signal, slope: relation.slopeAt(temperature) });
  }

  temperatures(signals: Float64Array, into: ConversionArrays, options: ArrayOptions = {}): number {
    const relation = this.#relation;
    const junctions = this.#junctions(signals, into, options);
    let failed = 0;
    for (let index = 0; index < signals.length; index += 1) {
      const signal = signals[index]!;
      const junction = typeof junctions === "number" ? junctions : this.#junctionEmf(junctions[index]!);
      const temperature = Number.isFinite(signal) ? relation.temperatureAt(signal + junction) : outside;
      if (Number.isFinite(temperature) && Number.isFinite(junction)) {
        into.values[index] = temperature;
        into.statuses[index] = conversionStatus.converted;
        if (into.slopes !== undefined) into.slopes[index] = relation.slopeAt(temperature);
      } else {
        failed += 1;
        refuse(into, index, statusOf(signal, junction, temperature));
      }
    }
    return failed;
  }

  signals(temperatures: Float64Array, into: ConversionArrays, options: ArrayOptions = {}): number {
    const relation = this.#relation;
    const { lower, upper } = relation.temperatures;
    const junctions = this.#junctions(temperatures, into, options);
    let failed = 0;
    for (let index = 0; index < temperatures.length; index += 1) {
      const temperature = temperatures[index]!;
      const junction = typeof junctions === "number" ? junctions : this.#junctionEmf(junctions[index]!);
      if (temperature >= lower && temperature <= upper && Number.isFinite(junction)) {
        into.values[index] = relation.signalAt(temperature) - junction;
        into.statuses[index] = conversionStatus.converted;
        if (into.slopes !== undefined) into.slopes[index] = relation.slopeAt(temperature);
      } else {
        failed += 1;
        refuse(into, index, statusOf(temperature, junction, outside));
      }
    }
    return failed;
  }

  /** What the reference junction adds, mV; NaN where it is outside the thermocouple's range. */
  #junctionEmf(coldJunction: number): number {
    if (this.#thermocouple === undefined) return 0;
    const { lower, upper } = this.#thermocouple.temperatures;
    return coldJunction >= lower && coldJunction <= upper ? this.#thermocouple.junctionEmf(coldJunction) : Number.NaN;
  }

  #junctions(input: Float64Array, into: ConversionArrays, { coldJunction = 0 }: ArrayOptions): number | Float64Array {
    const lengths = [into.values.length, into.statuses.length, into.slopes?.length ?? input.length];
    if (typeof coldJunction !== "number") lengths.push(coldJunction.length);
    if (lengths.some((length) => length < input.length)) {
      throw new RangeError("every array must be at least as long as the input");
    }
    return typeof coldJunction === "number" ? this.#junctionEmf(coldJunction) : coldJunction;
  }
}

const refuse = (into: ConversionArrays, index: number, status: number): void => {
  into.values[index] = Number.NaN;
  into.statuses[index] = status;
  if (into.slopes !== undefined) into.slopes[index] = Number.NaN;
};

const statusOf = (input: number, junction: number, temperature: number): number => {
  if (!Number.isFinite(input)) return conversionStatus.notFinite;
  if (Number.isNaN(junction) || temperature === outside) return conversionStatus.outOfRange;
  return temperature === failing ? conversionStatus.failureSignal : conversionStatus.ambiguous;
};

const relationOf = (sensor: Sensor): Outcome<Relation> => {
  switch (sensor.kind) {
    case "thermocouple":
      return thermocouple(sensor);
    case "platinum":
      return sensor.equation === "its-90" ? scalePlatinum(sensor) : callendarVanDusen(sensor);
    case "thermistor":
      return thermistor(sensor);
    case "loop": {
      const inner = sensor.inner === undefined ? undefined : relationOf(sensor.inner);
      return inner === undefined || inner.ok ? loop(sensor) : inner;
    }
    case "indication":
      return success(indication);
    case "switch":
      return failure(
        "thermometry.unsupported",
        "A switch gives no temperature: it says only on which side of its trip it is. Use it with procedure.ramp, and read the temperature of its changes from the reference.",
        { sensor },
      );
    default:
      return unsupported(sensor);
  }
};

const unsupported = (sensor: never): { readonly ok: false; readonly fault: FaultValue } =>
  failure(
    "thermometry.unsupported",
    "This kind of sensor is not known here. Use thermocouple, platinum, thermistor, loop or indication.",
    {
      sensor,
    },
  );

/**
 * Checks a sensor's coefficients and works them in. A failure says which coefficient cannot be, or which kind is not
 * known. The sensor is a value: do not change it afterwards.
 */
export const prepare = (sensor: Sensor): Outcome<PreparedSensor> => {
  const relation = relationOf(sensor);
  return relation.ok ? success(new Prepared(relation.value)) : relation;
};
