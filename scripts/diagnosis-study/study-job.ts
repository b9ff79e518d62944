import { jobSchema, type Job, type JobInput } from "#calibration";

export type StudyKind = "thermocouple" | "platinum" | "transmitter" | "indicator";

/** Demo data, all invented. */
const items: Readonly<Record<StudyKind, JobInput["items"][number]>> = {
  thermocouple: {
    id: "item",
    tag: "TT-101",
    description: "Thermocouple",
    serial: "demo-1",
    sensor: { kind: "thermocouple", type: "K" },
    channel: "item-1",
    unit: "mV",
    coldJunction: { kind: "channel", channel: "junction", halfWidth: 0.2 },
    tolerance: { class: "iec-60584-1/2" },
    limits: { minimum: -40, maximum: 600 },
  },
  platinum: {
    id: "item",
    tag: "TT-202",
    description: "Pt100",
    serial: "demo-2",
    sensor: { kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
    channel: "item-1",
    unit: "Ω",
    tolerance: { class: "iec-60751/B", construction: "wire-wound" },
    limits: { minimum: -30, maximum: 300 },
  },
  transmitter: {
    id: "item",
    tag: "TT-303",
    description: "Transmitter",
    serial: "demo-3",
    sensor: { kind: "loop", lower: 0, upper: 150 },
    channel: "item-1",
    unit: "mA",
    tolerance: { kelvin: 0.75 },
    limits: { minimum: -20, maximum: 200 },
  },
  indicator: {
    id: "item",
    tag: "TI-404",
    description: "Indicator",
    serial: "demo-4",
    sensor: { kind: "indication" },
    channel: "item-1",
    unit: "°C",
    indicationResolution: 0.1,
    tolerance: { kelvin: 1 },
    range: { lower: 0, upper: 200 },
    limits: { minimum: -20, maximum: 250 },
  },
};

export const studyPoints: Readonly<Record<StudyKind, readonly number[]>> = {
  thermocouple: [30, 100, 200, 300, 400],
  platinum: [0, 50, 100, 150, 200],
  transmitter: [5, 40, 75, 110, 145],
  indicator: [0, 50, 100, 150, 200],
};

const kit: JobInput["kit"] = {
  reference: {
    id: "ref-7",
    description: "Platinum reference probe",
    serial: "demo-ref",
    sensor: {
      kind: "platinum",
      equation: "callendar-van-dusen",
      r0: 100.012,
      a: 3.9085e-3,
      b: -5.775e-7,
      c: -4.183e-12,
    },
    channel: "reference",
    unit: "Ω",
    range: { minimum: -40, maximum: 420 },
    calibration: {
      certificate: "DEMO-2231",
      laboratory: "Invented Standards",
      date: "2026-01-12",
      due: "2027-01-12",
      uncertainty: 0.03,
    },
    driftPerYear: 0.04,
    interpolation: 0.005,
    selfHeating: 0.004,
  },
  readout: {
    id: "readout-2",
    description: "Readout",
    serial: "demo-readout",
    calibration: { certificate: "DEMO-1140", laboratory: "Invented Standards", date: "2026-02-02", due: "2027-02-02" },
    accuracy: [
      { unit: "Ω", upTo: 4000, percentOfReading: 0.003, absolute: 0.001, resolution: 0.0001 },
      { unit: "mV", upTo: 80, percentOfReading: 0.005, absolute: 0.002, resolution: 0.0001 },
      { unit: "mA", upTo: 25, percentOfReading: 0.01, absolute: 0.001, resolution: 0.0001 },
      { unit: "°C", percentOfReading: 0, absolute: 0.1, resolution: 0.01 },
    ],
  },
  source: {
    id: "block-1",
    description: "Dry block",
    serial: "demo-block",
    class: "dry-block",
    range: { minimum: -30, maximum: 420 },
    stability: 0.03,
    axial: [
      { temperature: 0, value: 0.03 },
      { temperature: 400, value: 0.15 },
    ],
    radial: 0.02,
    loading: 0.01,
  },
};

export interface StudyJob {
  readonly kinds: readonly StudyKind[];
  /** Changes of the items, in their order. */
  readonly changes?: readonly object[];
  readonly points?: readonly number[];
}

export const studyJob = ({ kinds, changes = [], points = studyPoints[kinds[0]!] }: StudyJob): Job =>
  jobSchema.parse({
    job: "study",
    title: "Study",
    laboratory: { name: "Calder Vale Calibration (demo)", address: ["1 Invented Lane"] },
    customer: { name: "Marrow & Finch (demo)", address: ["2 Invented Lane"] },
    place: "Boiler house (demo)",
    technician: "Demo technician",
    conditions: { ambientTemperature: { value: 23, halfWidth: 3 } },
    items: kinds.map((kind, index) => ({
      ...items[kind],
      id: `item-${index + 1}`,
      tag: `${items[kind].tag}${index === 0 ? "" : `-${index + 1}`}`,
      serial: `demo-${index + 1}`,
      channel: `item-${index + 1}`,
      ...changes[index],
    })),
    kit,
    procedure: {
      method: { identifier: "DEMO-T1", revision: "1", title: "Comparison in a block" },
      points: points.map((temperature) => ({ temperature })),
      decision: { kind: "simple" },
    },
    bench: {
      instruments: [
        { id: "readout", entry: "scpi-thermometer-readout", at: "simulated", role: "readout" },
        { id: "block", entry: "scpi-heat-source", at: "simulated", role: "source" },
      ],
      channels: {
        reference: { instrument: "readout", input: 1, unit: "Ω" },
        junction: { instrument: "readout", input: 2, unit: "°C" },
        ...Object.fromEntries(
          kinds.map((kind, index) => [
            `item-${index + 1}`,
            { instrument: "readout", input: 3 + index, unit: items[kind].unit },
          ]),
        ),
      },
    },
    rehearsal: true,
  } satisfies JobInput);
