import { success, type Outcome } from "#fault";
import { prepare, type PreparedSensor, type Sensor } from "#thermometry";
import type { BlockModel, Correlation, InputQuantity } from "#uncertainty";
import type { ResultBudget, ResultBudgetLine } from "../result/result.ts";
import { readoutCorrelation } from "./point-budget.ts";
import type { PointData } from "./point-data.ts";

/** Where an input enters: on the item's signal, on the reference's, at the reference junction, or as a temperature. */
type Entrance = "item-signal" | "reference-signal" | "junction" | "temperature";

interface EnteringInput {
  readonly id: string;
  readonly u: number;
  /** Null stands for infinitely many. */
  readonly degreesOfFreedom: number | null;
  readonly distribution: ResultBudgetLine["distribution"];
  readonly entrance: Entrance;
  /** K per unit; it counts where the input enters as a temperature only. */
  readonly sensitivity: number;
}

/**
 * The model of one error as plain data, so that it can go to another thread or be kept: mean signals, both sensors, and the
 * inputs with the place where each enters.
 */
export interface PointModelDescription {
  readonly itemSensor: Sensor;
  readonly referenceSensor: Sensor;
  /** Mean signals, in the sensors' units. */
  readonly signal: number;
  readonly referenceSignal: number;
  /** Mean temperature of the reference junction, °C; null where the item has none. */
  readonly junction: number | null;
  /** The error as it is reported, K. */
  readonly error: number;
  readonly inputs: readonly EnteringInput[];
  readonly correlations: readonly Correlation[];
}

export interface PointModel {
  readonly inputs: readonly InputQuantity[];
  readonly correlations: readonly Correlation[];
  /** The error in K, for deviations of all inputs from their estimates. */
  readonly model: BlockModel;
}

const entranceOf = ({ id, unit }: ResultBudgetLine, hasJunction: boolean): Entrance => {
  if (id === "item.junction" && hasJunction) return "junction";
  if (unit === "K") return "temperature";
  return id.startsWith("reference.") ? "reference-signal" : "item-signal";
};

/** Describes the model of a point from its readings and its budget. */
export const describePoint = (data: PointData, budget: ResultBudget): PointModelDescription => ({
  itemSensor: data.item.sensor,
  referenceSensor: data.job.kit.reference.sensor,
  signal: data.signal,
  referenceSignal: data.referenceSignal,
  junction: data.pairs.junction ?? null,
  error: data.indication - data.reference,
  inputs: budget.lines.map((line) => ({
    id: line.id,
    u: line.u,
    degreesOfFreedom: line.degreesOfFreedom,
    distribution: line.distribution,
    entrance: entranceOf(line, data.pairs.junction !== undefined),
    sensitivity: line.sensitivity,
  })),
  correlations: readoutCorrelation(data, budget.lines),
});

/** Adds the deviations that enter at one place to a column. */
const addEntering = (
  inputs: readonly EnteringInput[],
  columns: readonly Float64Array[],
  entrance: Entrance,
  into: Float64Array,
): void => {
  for (const [index, input] of inputs.entries()) {
    if (input.entrance !== entrance) continue;
    const column = columns[index]!;
    const factor = entrance === "temperature" ? input.sensitivity : 1;
    for (let trial = 0; trial < into.length; trial += 1) into[trial]! += factor * column[trial]!;
  }
};

/** One sensor with signals that deviate from their mean, and room for a block of trials. */
class DeviatingSensor {
  readonly #sensor: PreparedSensor;
  readonly #mean: number;
  readonly #junction: number;
  #signals = new Float64Array(0);
  #junctions = new Float64Array(0);
  #values = new Float64Array(0);
  #statuses = new Uint8Array(0);

  constructor(sensor: PreparedSensor, mean: number, junction: number) {
    this.#sensor = sensor;
    this.#mean = mean;
    this.#junction = junction;
  }

  /** Temperatures of `count` trials; `deviate` adds the deviations. NaN where one leaves the sensor's range. */
  temperatures(count: number, deviate?: (signals: Float64Array, junctions: Float64Array) => void): Float64Array {
    if (this.#signals.length !== count) {
      this.#signals = new Float64Array(count);
      this.#junctions = new Float64Array(count);
      this.#values = new Float64Array(count);
      this.#statuses = new Uint8Array(count);
    }
    const [signals, junctions] = [this.#signals.fill(this.#mean), this.#junctions.fill(this.#junction)];
    deviate?.(signals, junctions);
    const into = { values: this.#values, statuses: this.#statuses };
    // One junction for all is worked out once.
    const coldJunction = junctions.some((each) => each !== this.#junction) ? junctions : this.#junction;
    this.#sensor.temperatures(signals, into, { coldJunction });
    return this.#values;
  }
}

/**
 * The real model of measurement of a point's error (JCGM 101:2008, clause 5): the signals with their deviations go through the
 * sensors' own equations, junction included, and not through slopes. Its inputs have the estimate 0, so that it answers
 * the reported error where nothing deviates. A sensor that cannot be is a failure `thermometry.invalid`.
 */
export const pointModel = (description: PointModelDescription): Outcome<PointModel> => {
  const { inputs, signal, referenceSignal, junction, error } = description;
  const item = prepare(description.itemSensor);
  if (!item.ok) return item;
  const reference = prepare(description.referenceSensor);
  if (!reference.ok) return reference;
  const onItem = new DeviatingSensor(item.value, signal, junction ?? 0);
  const onReference = new DeviatingSensor(reference.value, referenceSignal, 0);
  // The mean of the converted readings and the conversion of the mean reading differ by a hair; the report has the former.
  const offset = error - (onItem.temperatures(1)[0]! - onReference.temperatures(1)[0]!);
  const model: BlockModel = {
    fill: (columns, into) => {
      const items = onItem.temperatures(into.length, (signals, junctions) => {
        addEntering(inputs, columns, "item-signal", signals);
        addEntering(inputs, columns, "junction", junctions);
      });
      const references = onReference.temperatures(into.length, (signals) =>
        addEntering(inputs, columns, "reference-signal", signals),
      );
      for (let trial = 0; trial < into.length; trial += 1) into[trial] = offset + (items[trial]! - references[trial]!);
      addEntering(inputs, columns, "temperature", into);
    },
  };
  return success({
    inputs: inputs.map(({ id, u, degreesOfFreedom, distribution }) => ({
      name: id,
      value: 0,
      u,
      dof: degreesOfFreedom ?? Number.POSITIVE_INFINITY,
      distribution,
    })),
    correlations: description.correlations,
    model,
  });
};
