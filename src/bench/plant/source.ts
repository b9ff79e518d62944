import type { Generator } from "#numerics";
import { firstOrder, followFirstOrder } from "./first-order.ts";
import { markovNoise } from "./noise.ts";
import type { SourceModel } from "./source-classes.ts";
import { steadyState, twoMassStep } from "./two-mass.ts";

export interface HeatSource {
  /** One step forward, with the set point and output as they are now. */
  step(): void;
  setPoint(temperature: number): void;
  setPointNow(): number;
  switchOutput(on: boolean): void;
  outputOn(): boolean;
  /** What the medium round the probes has now, °C. */
  medium(): number;
  /** What the source's own control sensor says, °C, its error included. */
  control(): number;
  /** How far the insulation is below its steady state for the block's present temperature, K. */
  insulationLag(): number;
  power(): number;
  /** Temperature of the surroundings now, °C. */
  ambient(): number;
}

/**
 * A heat source under closed-loop control. The controller samples once a step (it is a digital one): proportional and
 * integral, poles both at 1/loopTime, integral held while the heater is at a limit. Power is constant within a step, so
 * the thermal step is exact. Cycling and unsteadiness lie on top of the block: they are what the medium does round it.
 */
export const heatSource = (options: {
  readonly model: SourceModel;
  /** Of the surroundings at tick 0, °C. */
  readonly ambient: number;
  /** How fast the surroundings warm up, K/s. */
  readonly ambientDrift?: number;
  /** Temperature of block and insulation at the start, °C. */
  readonly start: number;
  readonly startTick: number;
  readonly step: number;
  readonly generator: Generator;
  /** Error of the control sensor at a temperature, K. */
  readonly controlError: (temperature: number) => number;
  /** How strong cycling and unsteadiness are at a temperature, 1 as the model says. */
  readonly roughness: (temperature: number) => number;
}): HeatSource => {
  const { model, ambientDrift = 0, step, generator, controlError, roughness } = options;
  const { masses } = model;
  const thermal = twoMassStep(masses, step);
  const sensorLag = firstOrder(model.sensorLag, step);
  const proportional = (2 * masses.blockCapacity) / model.loopTime;
  const integral = (masses.blockCapacity / model.loopTime ** 2) * step;
  const unsteady = markovNoise(generator.fork("unsteadiness"), model.correlation, step);
  const phase = generator.fork("phase").next() * 2 * Math.PI;
  const insulationShare = steadyState(masses, 1).insulation / steadyState(masses, 1).block;

  let tick = options.startTick;
  let ambient = options.ambient + ambientDrift * tick * step;
  let block = options.start - ambient;
  let insulation = block * insulationShare;
  let sensed = block;
  let target = options.start;
  let on = false;
  let held = steadyState(masses, 1).block === 0 ? 0 : block / steadyState(masses, 1).block;
  let power = 0;
  let medium = options.start;

  const controlReading = () => ambient + sensed + controlError(ambient + sensed);

  const controlPower = (): number => {
    if (!on) return block > 0 ? -model.fan * block : 0;
    const difference = target - controlReading();
    const wanted = proportional * difference + held;
    const given = Math.min(model.heating, Math.max(-model.cooling, wanted));
    if (given === wanted) held += integral * difference;
    return given;
  };

  return {
    step() {
      // Temperatures are kept as differences from the surroundings: when these move, what is hot stays where it was.
      const shift = ambientDrift * step;
      ambient += shift;
      block -= shift;
      insulation -= shift;
      sensed -= shift;
      power = controlPower();
      const before = block;
      const next = thermal.a11 * block + thermal.a12 * insulation + thermal.b1 * power;
      insulation = thermal.a21 * block + thermal.a22 * insulation + thermal.b2 * power;
      block = next;
      sensed = followFirstOrder(sensorLag, sensed, before, block);
      tick += 1;
      const cycle = Math.sin((2 * Math.PI * tick * step) / model.period + phase);
      const rough = model.oscillation * cycle + model.unsteadiness * unsteady.step();
      medium = ambient + block + (on ? roughness(ambient + block) * rough : 0);
    },
    setPoint(temperature) {
      target = temperature;
    },
    setPointNow: () => target,
    switchOutput(next) {
      if (next && !on) held = block / steadyState(masses, 1).block;
      on = next;
    },
    outputOn: () => on,
    medium: () => medium,
    control: controlReading,
    insulationLag: () => insulationShare * block - insulation,
    power: () => power,
    ambient: () => ambient,
  };
};
