import { jobSchema, type Job, type JobInput } from "#calibration";
import { inventedKit } from "../../src/calibration/evaluate/invented-run.test-support.ts";

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

/** The kit that the proofs of evaluation use, with a readout that reads 1000 Ω sensors too. */
const kit: JobInput["kit"] = {
  ...inventedKit,
  readout: {
    ...inventedKit.readout,
    accuracy: inventedKit.readout.accuracy.map((each) => (each.unit === "Ω" ? { ...each, upTo: 4000 } : each)),
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
