import type { TwoMass } from "./two-mass.ts";

/**
 * What a portable heat source of each class is made of. Invented but plausible figures (common practice, no source):
 * chosen so that a bath settles in 5 to 10 minutes a point, a dry block in 10 to 20, a furnace in 15 to 30.
 */
export interface SourceModel {
  readonly masses: TwoMass;
  /** Most heating and cooling power, W. */
  readonly heating: number;
  readonly cooling: number;
  /** What a fan takes off while the output is off, W/K. */
  readonly fan: number;
  /** The control loop: time constant it is tuned for, lag of its sensor, s. */
  readonly loopTime: number;
  readonly sensorLag: number;
  /** Limits of the control sensor's error: K, and K per K away from ambient. */
  readonly controlOffset: number;
  readonly controlGain: number;
  /** Cycling of the medium, amplitude K and period s; random unsteadiness, standard deviation K and correlation time s. */
  readonly oscillation: number;
  readonly period: number;
  readonly unsteadiness: number;
  readonly correlation: number;
  /** Limit of the difference between the wells for each K that the insulation lags behind, K/K. */
  readonly creep: number;
  /** Range in which it is used, °C. */
  readonly minimum: number;
  readonly maximum: number;
}

export const sourceClasses = ["bath", "dry-block", "furnace"] as const;
export type SourceClass = (typeof sourceClasses)[number];

export const sourceModels: Readonly<Record<SourceClass, SourceModel>> = {
  bath: {
    masses: { blockCapacity: 1800, insulationCapacity: 700, between: 1.5, blockLoss: 0.5, insulationLoss: 0.7 },
    heating: 750,
    cooling: 280,
    fan: 1,
    loopTime: 22,
    sensorLag: 4,
    controlOffset: 0.03,
    controlGain: 0.0005,
    oscillation: 0.003,
    period: 40,
    unsteadiness: 0.002,
    correlation: 15,
    creep: 0.000_02,
    minimum: -40,
    maximum: 200,
  },
  "dry-block": {
    masses: { blockCapacity: 1100, insulationCapacity: 1000, between: 1.2, blockLoss: 0.3, insulationLoss: 0.5 },
    heating: 750,
    cooling: 120,
    fan: 1.2,
    loopTime: 26,
    sensorLag: 6,
    controlOffset: 0.1,
    controlGain: 0.001,
    oscillation: 0.006,
    period: 70,
    unsteadiness: 0.004,
    correlation: 25,
    creep: 0.0003,
    minimum: -30,
    maximum: 660,
  },
  furnace: {
    masses: { blockCapacity: 3500, insulationCapacity: 6000, between: 2, blockLoss: 0.2, insulationLoss: 1.2 },
    heating: 2600,
    cooling: 0,
    fan: 2,
    loopTime: 42,
    sensorLag: 10,
    controlOffset: 0.5,
    controlGain: 0.002,
    oscillation: 0.03,
    period: 120,
    unsteadiness: 0.02,
    correlation: 40,
    creep: 0.0006,
    minimum: 30,
    maximum: 1200,
  },
};

/** Time constants of probes in each class of source, s: reference, thermocouple, platinum, transmitter's probe, other. */
export type ProbeKind = "reference" | "thermocouple" | "platinum" | "loop" | "other";

export const probeLags: Readonly<Record<SourceClass, Readonly<Record<ProbeKind, readonly [number, number]>>>> = {
  bath: { reference: [5, 1.2], thermocouple: [3, 0.7], platinum: [6, 1.5], loop: [11, 3], other: [6, 1.5] },
  "dry-block": { reference: [22, 5], thermocouple: [12, 3], platinum: [28, 6], loop: [45, 10], other: [25, 6] },
  furnace: { reference: [35, 8], thermocouple: [18, 4], platinum: [40, 9], loop: [60, 14], other: [35, 8] },
};
