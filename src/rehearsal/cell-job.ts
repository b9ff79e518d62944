import type { SimulationInput, SourceClass } from "#bench";
import { jobSchema, type Job, type JobInput } from "#calibration";
import type { Cell } from "./cells.ts";
import { rehearsalItems, toleranceOf, type ItemModel } from "./cell-items.ts";
import { drawnBench, referenceLagsIn, scaledLags, type Chance } from "./draw.ts";
import type { Physics } from "./physics.ts";

/** What a source of each class states of itself: ± limits in K over °C. Invented but plausible (common practice, no source). */
const statedSources = {
  bath: { range: { minimum: -40, maximum: 200 }, stability: 0.008, axial: 0.01, radial: 0.006, loading: 0.004 },
  "dry-block": {
    range: { minimum: -30, maximum: 660 },
    stability: [
      { temperature: 50, value: 0.02 },
      { temperature: 660, value: 0.05 },
    ],
    axial: [
      { temperature: 50, value: 0.03 },
      { temperature: 660, value: 0.25 },
    ],
    radial: [
      { temperature: 50, value: 0.01 },
      { temperature: 660, value: 0.06 },
    ],
    loading: [
      { temperature: 50, value: 0.01 },
      { temperature: 660, value: 0.06 },
    ],
  },
  furnace: {
    range: { minimum: 30, maximum: 1200 },
    stability: 0.1,
    axial: [
      { temperature: 300, value: 0.15 },
      { temperature: 1200, value: 0.5 },
    ],
    radial: [
      { temperature: 300, value: 0.08 },
      { temperature: 1200, value: 0.25 },
    ],
    loading: [
      { temperature: 300, value: 0.05 },
      { temperature: 1200, value: 0.2 },
    ],
  },
} as const satisfies Readonly<Record<SourceClass, object>>;

const kitOf = (source: SourceClass): JobInput["kit"] => {
  const { range, stability, axial, radial, loading } = statedSources[source];
  const figure = (value: number | readonly { readonly temperature: number; readonly value: number }[]) =>
    typeof value === "number" ? value : value.map((row) => ({ ...row }));
  return {
    reference: {
      id: "reference",
      description: "Platinum reference probe, 100 Ω",
      serial: "R-1",
      sensor: {
        kind: "platinum",
        equation: "its-90",
        rtpw: 100.00427,
        coefficients: [
          { subrange: 4, a: -1.6432718e-4, b: 1.2085364e-5 },
          { subrange: 7, a: -1.7120943e-4, b: -8.9436127e-6, c: -1.4370285e-6 },
        ],
      },
      channel: "reference",
      unit: "Ω",
      range: { minimum: -80, maximum: 660 },
      calibration: {
        certificate: "R-1",
        laboratory: "Invented Reference Laboratory (demo)",
        date: "2026-03-09",
        due: "2027-03-09",
        uncertainty: [
          { temperature: -80, value: 0.03 },
          { temperature: 0, value: 0.015 },
          { temperature: 200, value: 0.025 },
          { temperature: 420, value: 0.04 },
          { temperature: 660, value: 0.07 },
        ],
      },
      driftPerYear: 0.02,
      interpolation: 0.003,
      selfHeating: 0.003,
    },
    readout: {
      id: "readout",
      description: "Thermometer readout",
      serial: "M-1",
      calibration: {
        certificate: "M-1",
        laboratory: "Calder Vale Calibration (demo)",
        date: "2026-05-18",
        due: "2027-05-18",
      },
      accuracy: [
        { unit: "Ω", upTo: 400, percentOfReading: 0.002, absolute: 0.002, resolution: 0.0001 },
        { unit: "mV", upTo: 100, percentOfReading: 0.005, absolute: 0.003, resolution: 0.0001 },
        { unit: "mA", upTo: 24, percentOfReading: 0.01, absolute: 0.001, resolution: 0.0001 },
        { unit: "°C", percentOfReading: 0, absolute: 0.1, resolution: 0.01 },
      ],
    },
    source: {
      id: "source",
      description: source,
      serial: "S-1",
      class: source,
      range: { ...range },
      stability: figure(stability),
      axial: figure(axial),
      radial: figure(radial),
      loading: figure(loading),
    },
  };
};

/** Temperatures over which tables of the item reach, °C. */
const tableEnds = [-50, 22, 375, 1000] as const;

const itemOf = (model: ItemModel, source: SourceClass, physics: Physics): JobInput["items"][number] => {
  const stem = Math.max(...physics.stemLoss.map(Math.abs));
  // The item is stated for surroundings of 23 °C ± what the physics lets them be.
  const away = Math.max(...physics.ambient.map((ambient) => Math.abs(ambient - 23))) + 5;
  const effect = Math.max(...physics.ambientEffect.map(Math.abs));
  return {
    id: "item",
    tag: "ITEM",
    description: model.title,
    serial: "1",
    sensor: model.sensor(source),
    channel: "item-1",
    unit: model.unit,
    ...(model.coldJunction === undefined ? {} : { coldJunction: model.coldJunction }),
    tolerance: {
      kelvinTable: tableEnds.map((temperature) => ({ temperature, kelvin: toleranceOf(model, temperature) })),
    },
    range: { lower: 0, upper: statedSources[source].range.maximum },
    limits: { minimum: -60, maximum: 1200 },
    contributions: {
      ...model.contributions,
      ...(stem > 0
        ? {
            stemConduction: tableEnds.map((temperature) => ({
              temperature,
              value: stem * Math.abs(temperature - 22) + stem * 8,
            })),
          }
        : {}),
      ...(model.unit === "mA" && effect > 0 ? { ambient: effect * away } : {}),
    },
  };
};

/** Contributions that the physics of a standard cell brings itself, so that they are not drawn once more. */
export const physicalContributions = ["stemConduction", "ambient"] as const;

const deviationOf = (model: ItemModel, physics: Physics, chance: Chance, points: readonly number[]): number[] => {
  const [low, high] = [Math.min(...points), Math.max(...points)];
  const [first, second] = chance.itemError;
  const atLow = physics.itemError * toleranceOf(model, low) * first;
  // Errors at both ends go together (correlation 0.7), as those of one item do.
  const atHigh = physics.itemError * toleranceOf(model, high) * (0.7 * first + Math.sqrt(1 - 0.7 ** 2) * second);
  const slope = high > low ? (atHigh - atLow) / (high - low) : 0;
  return [atLow - slope * low, slope];
};

const benchOf = (cell: Cell, physics: Physics, chance: Chance, temperatures: readonly number[]): JobInput["bench"] => {
  const model: ItemModel = rehearsalItems[cell.item];
  const simulation: SimulationInput = {
    ...drawnBench(chance, physics, cell.source, temperatures[0]!),
    reference: { lags: scaledLags(referenceLagsIn(cell.source), chance.referenceLag) },
    items: {
      "item-1": {
        lags: scaledLags(model.lags(cell.source), chance.itemLag),
        ...(physics.looseFit === null ? {} : { looseFit: physics.looseFit }),
        stemLoss: chance.stemLoss,
        damping: model.damping,
        noise: model.noise * chance.itemNoise,
        ambientEffect: model.unit === "mA" ? chance.ambientEffect : 0,
        deviation: { kelvin: deviationOf(model, physics, chance, temperatures) },
      },
    },
  };
  const onReadout = (input: number, unit: JobInput["items"][number]["unit"]) => ({
    instrument: "readout",
    input,
    unit,
  });
  return {
    instruments: [
      { id: "heat-source", entry: "scpi-heat-source", at: "simulated", role: "source" },
      { id: "readout", entry: "scpi-thermometer-readout", at: "simulated", role: "readout" },
    ],
    channels: {
      reference: onReadout(1, "Ω"),
      "item-1": onReadout(2, model.unit),
      ...(model.coldJunction === undefined ? {} : { junction: onReadout(3, "°C") }),
      source: { instrument: "heat-source", input: 1, unit: "°C" },
    },
    simulation,
  };
};

/** Set points of a run in the order of the visit. */
export const setPointsOf = (cell: Cell, physics: Physics, chance: Chance): readonly number[] => {
  const temperatures = physics.setPoints[cell.source];
  return chance.falling ? temperatures.toReversed() : temperatures;
};

/** The job of one run of a cell. Throws where the physics make no job (a set point beyond the source, for one). */
export const cellJob = (cell: Cell, physics: Physics, chance: Chance, temperatures: readonly number[]): Job => {
  const model: ItemModel = rehearsalItems[cell.item];
  return jobSchema.parse({
    job: "REHEARSAL",
    title: `${model.title} in a ${cell.source}`,
    laboratory: { name: "Calder Vale Calibration (demo)", address: ["Unit 4, Invented Mill Lane, Calder Vale"] },
    customer: { name: "Marrow & Finch (demo)", address: ["Quince House, Little Damson"] },
    place: "simulated bench",
    technician: "Bevan Ashcombe (demo)",
    conditions: { ambientTemperature: { value: 23, halfWidth: 5 } },
    items: [itemOf(model, cell.source, physics)],
    kit: kitOf(cell.source),
    procedure: {
      method: { identifier: "R-1", revision: "1", title: "Rehearsal" },
      points: temperatures.map((temperature) => ({ temperature })),
      readings: physics.readings,
      settling: {
        target: { fractionOfTolerance: physics.targetFraction },
        minimumWindow: 120,
        longestWait: physics.longestWait,
      },
      decision: { kind: "guard-band" },
    },
    bench: benchOf(cell, physics, chance, temperatures),
    rehearsal: true,
  } satisfies JobInput);
};
