import { jobSchema, toleranceAt, type Item, type Job, type JobInput } from "#calibration";
import type { PlanContext } from "./plan-job.ts";

const platinum = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
} as const;

const calibration = {
  certificate: "IRL-1",
  laboratory: "Invented Reference Laboratory",
  date: "2026-11-01",
  due: "2027-11-01",
};

export interface Wanted {
  readonly job?: string;
  readonly points?: readonly number[];
  readonly tolerance?: JobInput["items"][number]["tolerance"];
  readonly decision?: JobInput["procedure"]["decision"];
  readonly order?: JobInput["procedure"]["order"];
  readonly item?: Partial<JobInput["items"][number]>;
  readonly reference?: Partial<JobInput["kit"]["reference"]>;
  readonly source?: Partial<JobInput["kit"]["source"]>;
  readonly target?: number;
}

/** An invented job of one Pt100; a kit without any uncertainty but what is asked for. */
export const inventedJob = (wanted: Wanted = {}): Job =>
  jobSchema.parse({
    job: wanted.job ?? "P-1",
    title: "Plan",
    laboratory: { name: "Calder Vale Calibration", address: ["Invented Mill Lane"] },
    customer: { name: "Marrow & Finch", address: ["Invented Orchard Road"] },
    place: "Hall 2",
    technician: "Tamsin Roke",
    conditions: { ambientTemperature: { value: 25, halfWidth: 2 } },
    items: [
      {
        id: `item-of-${wanted.job ?? "P-1"}`,
        tag: `TE-${wanted.job ?? "P-1"}`,
        description: "Pt100",
        serial: "1",
        channel: "item-1",
        unit: "Ω",
        sensor: platinum,
        tolerance: wanted.tolerance ?? { class: "iec-60751/A" },
        limits: { minimum: -50, maximum: 650 },
        ...wanted.item,
      },
    ],
    kit: {
      reference: {
        id: "ref",
        description: "Probe",
        serial: "2",
        channel: "reference",
        unit: "Ω",
        range: { minimum: -80, maximum: 660 },
        driftPerYear: 0,
        sensor: platinum,
        calibration: { ...calibration, uncertainty: 0.02 },
        ...wanted.reference,
      },
      readout: {
        id: "ro",
        description: "Readout",
        serial: "3",
        calibration,
        accuracy: [{ unit: "Ω", percentOfReading: 0, absolute: 0, resolution: 0 }],
      },
      source: {
        id: "src",
        description: "Block",
        serial: "4",
        class: "dry-block",
        range: { minimum: -30, maximum: 660 },
        stability: 0,
        axial: 0,
        radial: 0,
        ...wanted.source,
      },
    },
    procedure: {
      method: { identifier: "M", revision: "1", title: "Comparison" },
      points: (wanted.points ?? [0, 150]).map((temperature) => ({ temperature })),
      decision: wanted.decision ?? { kind: "guard-band" },
      settling: { target: { kelvin: wanted.target ?? 0.001 } },
      ...(wanted.order === undefined ? {} : { order: wanted.order }),
    },
    bench: {
      instruments: [{ id: "r", entry: "scpi-thermometer-readout", at: "simulated", role: "readout" }],
      channels: {
        reference: { instrument: "r", input: 1, unit: "Ω" },
        "item-1": { instrument: "r", input: 2, unit: "Ω" },
      },
    },
  });

export const target = (job: Job, item: Item, temperature: number): number => {
  const limits = toleranceAt(item.tolerance, item, temperature);
  return job.procedure.settling.target.kelvin ?? (limits.ok ? limits.value.upper / 5 : 0.1);
};

export const context: PlanContext = { day: "2026-11-25", target, obstacles: () => [] };
