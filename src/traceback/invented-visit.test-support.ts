import { jobSchema, type Job, type JobInput, type RunEvent, type RunOpened } from "#calibration";
import { unwrap } from "#fault";
import { signalOf, type Sensor } from "#thermometry";

/** Demo data, all invented. */
export const platinum: Sensor & JobInput["kit"]["reference"]["sensor"] = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100.012,
  a: 3.9085e-3,
  b: -5.775e-7,
  c: -4.183e-12,
};

export interface VisitPlan {
  readonly run?: string;
  /** UTC. */
  readonly opened?: string;
  /** Error of the item at each point, K. */
  readonly errors: readonly number[];
  readonly points?: readonly number[];
  readonly tolerance?: number;
  readonly customer?: string;
  readonly item?: { readonly serial?: string; readonly unit?: "Ω" | "mA"; readonly sensor?: Sensor };
  readonly reference?: Partial<JobInput["kit"]["reference"]>;
}

const jobOf = ({
  points = [0, 100],
  tolerance = 0.35,
  customer = "Marrow & Finch (demo)",
  item,
  reference,
}: VisitPlan): Job =>
  jobSchema.parse({
    job: "demo-1",
    title: "Invented visit",
    laboratory: { name: "Calder Vale Calibration (demo)", address: ["1 Invented Lane"] },
    customer: { name: customer, address: ["2 Invented Lane"], contact: "demo contact" },
    place: "Boiler house (demo)",
    technician: "Demo technician",
    conditions: { ambientTemperature: { value: 22, halfWidth: 2 } },
    items: [
      {
        id: "item-1",
        tag: "TT-202",
        description: "Pt100, pasteuriser 1",
        serial: item?.serial ?? "demo-0002",
        sensor: (item?.sensor ?? { ...platinum, r0: 100 }) as JobInput["kit"]["reference"]["sensor"],
        channel: "item-1",
        unit: item?.unit ?? "Ω",
        tolerance: { kelvin: tolerance },
        limits: { minimum: -50, maximum: 300 },
      },
    ],
    kit: {
      reference: {
        id: "ref-7",
        description: "Platinum reference probe",
        serial: "demo-ref",
        sensor: platinum,
        channel: "reference",
        unit: "Ω",
        range: { minimum: -40, maximum: 420 },
        calibration: {
          certificate: "DEMO-2231",
          laboratory: "Invented Standards",
          date: "2025-01-01",
          due: "2027-01-01",
          uncertainty: 0.03,
        },
        driftPerYear: 0.01,
        ...reference,
      },
      readout: {
        id: "readout-2",
        description: "Readout",
        serial: "demo-readout",
        calibration: {
          certificate: "DEMO-1140",
          laboratory: "Invented Standards",
          date: "2025-01-01",
          due: "2027-01-01",
        },
        accuracy: [
          { unit: "Ω", percentOfReading: 0.003, absolute: 0.001, resolution: 0.0001 },
          { unit: "mA", percentOfReading: 0.01, absolute: 0.001, resolution: 0.0001 },
        ],
      },
      source: {
        id: "bath-1",
        description: "Bath",
        serial: "demo-bath",
        class: "bath",
        range: { minimum: -30, maximum: 420 },
        stability: 0.01,
        axial: 0.01,
        radial: 0.01,
      },
    },
    procedure: {
      method: { identifier: "DEMO-T1", revision: "1", title: "Comparison in a bath" },
      points: points.map((temperature) => ({ temperature })),
      decision: { kind: "simple" },
    },
    bench: {
      instruments: [{ id: "readout", entry: "generic-readout", at: "simulated", role: "readout" }],
      channels: {
        reference: { instrument: "readout", input: 1, unit: "Ω" },
        "item-1": { instrument: "readout", input: 2, unit: item?.unit ?? "Ω" },
      },
    },
    rehearsal: true,
  } satisfies JobInput);

/** The log of a visit whose reference and item read exactly what is said of them; readings as they are on the wire. */
export const visit = (plan: VisitPlan): RunEvent[] => {
  const job = jobOf(plan);
  const opened: RunOpened = {
    kind: "run-opened",
    format: "dwellpoint-run/1",
    n: 0,
    at: 0,
    run: plan.run ?? "demo-run",
    opened: plan.opened ?? "2025-07-12T08:00:00Z",
    software: { name: "dwellpoint", version: "0.0.0-test" },
    seed: 1,
    job,
    catalog: [],
  };
  const events: Record<string, unknown>[] = [{ ...opened }, { kind: "pass-begun", pass: "as-found", at: 0 }];
  let at = 0;
  for (const [point, { temperature }] of job.procedure.points.entries()) {
    const place = { pass: "as-found", point };
    events.push({ kind: "set-point-commanded", ...place, temperature, at });
    const from = at + 600;
    const times = Array.from({ length: 20 }, (_, index) => from + 2 * index);
    at = times.at(-1)!;
    const read = (channel: string, unit: string, sensor: Sensor, shown: number): void => {
      const { signal } = unwrap(signalOf(sensor, shown));
      // A digit's worth of movement, so that the scatter is not nought.
      const values = times.map((_, index) => Number((signal + (index % 2 === 0 ? 1e-4 : 0)).toFixed(4)));
      events.push({
        kind: "readings-taken",
        channel,
        unit,
        times,
        values,
        wire: values.map((value) => value.toFixed(4)),
        at,
      });
    };
    read("reference", "Ω", job.kit.reference.sensor as Sensor, temperature);
    const [item] = job.items;
    read("item-1", item!.unit, item!.sensor as Sensor, temperature + (plan.errors[point] ?? 0));
    events.push({ kind: "point-measured", ...place, from, to: at, at });
  }
  events.push({ kind: "run-ended", outcome: "completed", by: "demo technician", at });
  return events.map((event, n) => ({ ...event, n })) as unknown as RunEvent[];
};
