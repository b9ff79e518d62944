import { unwrap } from "#fault";
import { seededGenerator, type Generator } from "#numerics";
import type { ChannelUnit } from "#quantity";
import { signalOf, type Sensor } from "#thermometry";
import { jobSchema, type Job, type JobInput } from "../job/job.ts";
import type { Item } from "../job/item.ts";
import { plannedPoints } from "../job/planned-points.ts";
import type { Pass } from "../job/procedure.ts";
import { logFormat, type EventDraft, type RunEvent } from "../log/events.ts";

/** Demo data, all invented: three items of a preserve works, a kit of a calibration shop. */
export const thermocouple: JobInput["items"][number] = {
  id: "item-k",
  tag: "TT-101",
  description: "Type K thermocouple, retort 2",
  serial: "demo-0001",
  sensor: { kind: "thermocouple", type: "K" },
  channel: "item-1",
  unit: "mV",
  coldJunction: { kind: "channel", channel: "junction", halfWidth: 0.3 },
  tolerance: { class: "iec-60584-1/1" },
  limits: { minimum: -40, maximum: 600 },
};

export const resistor: JobInput["items"][number] = {
  id: "item-pt",
  tag: "TT-202",
  description: "Pt100, pasteuriser 1",
  serial: "demo-0002",
  sensor: { kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
  channel: "item-1",
  unit: "Ω",
  tolerance: { class: "iec-60751/B", construction: "wire-wound" },
  limits: { minimum: -50, maximum: 300 },
};

export const transmitter: JobInput["items"][number] = {
  id: "item-loop",
  tag: "TT-303",
  description: "4-20 mA transmitter, cold store 3",
  serial: "demo-0003",
  sensor: { kind: "loop", lower: 0, upper: 150 },
  channel: "item-1",
  unit: "mA",
  tolerance: { kelvin: 0.5 },
  limits: { minimum: -20, maximum: 200 },
};

export const inventedKit: JobInput["kit"] = {
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
    description: "Three-channel readout",
    serial: "demo-readout",
    calibration: { certificate: "DEMO-1140", laboratory: "Invented Standards", date: "2026-02-02", due: "2027-02-02" },
    accuracy: [
      { unit: "Ω", upTo: 400, percentOfReading: 0.003, absolute: 0.001, resolution: 0.0001 },
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

const instrument = { instrument: "readout", input: 1 } as const;

export const inventedJob = (changes: Partial<JobInput> = {}): Job =>
  jobSchema.parse({
    job: "demo-1",
    title: "Invented job",
    laboratory: { name: "Calder Vale Calibration (demo)", address: ["1 Invented Lane"] },
    customer: { name: "Marrow & Finch (demo)", address: ["2 Invented Lane"] },
    place: "Boiler house (demo)",
    technician: "Demo technician",
    conditions: { ambientTemperature: { value: 22, halfWidth: 2 } },
    items: [resistor],
    kit: inventedKit,
    procedure: {
      method: { identifier: "DEMO-T1", revision: "1", title: "Comparison in a block" },
      points: [{ temperature: 0 }, { temperature: 100 }],
      decision: { kind: "simple" },
    },
    bench: {
      instruments: [
        { id: "readout", entry: "generic-readout", at: "simulated", role: "readout" },
        { id: "display", entry: "generic-display", at: "simulated", role: "item" },
      ],
      channels: {
        reference: { ...instrument, unit: "Ω" },
        "item-1": { ...instrument, unit: "Ω" },
        junction: { ...instrument, unit: "°C" },
        shown: { instrument: "display", input: 1, unit: "°C" },
      },
    },
    rehearsal: true,
    ...changes,
  } satisfies JobInput);

export interface PointPlan {
  readonly pass?: Pass;
  readonly point: number;
  /** Reference temperature, °C; the nominal one where nothing is said. */
  readonly temperature?: number;
  /** Error of each item, K, in the order of the job; 0 where nothing is said. */
  readonly errors?: readonly number[];
  /** Standard deviation of one reading of either probe, K. */
  readonly noise?: number;
  /** K/s by which the source moves while it is measured. */
  readonly rampRate?: number;
  readonly count?: number;
  readonly interval?: number;
  /** The item is read this much later than the reference, s. */
  readonly delay?: number;
  readonly remainder?: number | null;
  /** Digits after the point on the wire; null for none. */
  readonly places?: number | null;
  readonly junction?: number;
}

/** Writes a run log as the engine would, from invented truths; the same seed gives the same log. */
export class InventedRun {
  readonly events: RunEvent[] = [];
  readonly job: Job;
  readonly #generator: Generator;
  at = 0;

  constructor(job: Job, { seed = 1, opened = "2026-07-12T08:00:00Z" }: { seed?: number; opened?: string } = {}) {
    this.job = job;
    this.#generator = seededGenerator(seed);
    this.events.push({
      kind: "run-opened",
      format: logFormat,
      n: 0,
      at: 0,
      run: "demo-run",
      opened,
      software: { name: "dwellpoint", version: "0.0.0-test" },
      seed,
      job,
      catalog: [],
    });
  }

  add<D extends EventDraft>(draft: D extends unknown ? Omit<D, "at"> & { at?: number } : never): number {
    const n = this.events.length;
    this.at = Math.max(this.at, draft.at ?? this.at);
    this.events.push({ ...draft, n, at: this.at } as unknown as RunEvent);
    return n;
  }

  begin(pass: Pass = "as-found"): this {
    this.add({ kind: "pass-begun", pass });
    return this;
  }

  end(outcome: "completed" | "stopped" = "completed"): RunEvent[] {
    this.add({ kind: "run-ended", outcome, by: "demo technician" });
    return this.events;
  }

  readings(channel: string, unit: ChannelUnit, times: number[], values: number[], places: number | null = 4): number {
    const rounded = places === null ? values : values.map((value) => Number(value.toFixed(places)));
    const wire = places === null ? {} : { wire: values.map((value) => value.toFixed(places)) };
    return this.add({ kind: "readings-taken", channel, unit, times, values: rounded, ...wire, at: times.at(-1)! });
  }

  /** Commands, settles and measures one point; all channels are read in turn. */
  measure(plan: PointPlan): this {
    const {
      pass = "as-found",
      point,
      noise = 0,
      rampRate = 0,
      count = 20,
      interval = 2,
      delay = 0,
      remainder = 0.01,
      places = 4,
      junction = 23,
    } = plan;
    const nominal = plannedPoints(this.job.procedure)[point]!.temperature;
    const temperature = plan.temperature ?? nominal;
    this.add({ kind: "set-point-commanded", pass, point, temperature: nominal });
    this.at += 600;
    const from = this.at;
    const times = Array.from({ length: count }, (_, index) => from + index * interval);
    const later = times.map((time) => time + delay);
    for (const [index, item] of this.job.items.entries()) {
      if (remainder !== null) {
        const evidence = {
          from: from - 120,
          to: from,
          estimate: plan.errors?.[index] ?? 0,
          remainder,
          standardUncertainty: 0.002,
          slope: 0,
          slopeStandardError: 1e-5,
          autocorrelation: 0.1,
          target: 0.05,
        };
        this.add({ kind: "point-settled", pass, point, item: item.id, evidence });
      }
    }
    const truth = (time: number): number => temperature + rampRate * (time - from);
    const sensed = (sensor: Sensor, time: number, error: number, coldJunction?: number): number =>
      unwrap(
        signalOf(
          sensor,
          truth(time) + error + noise * this.#generator.normal(),
          coldJunction === undefined ? {} : { coldJunction },
        ),
      ).signal;
    const { reference } = this.job.kit;
    this.readings(
      reference.channel,
      reference.unit,
      times,
      times.map((time) => sensed(reference.sensor, time, 0)),
      places,
    );
    for (const [index, item] of this.job.items.entries()) {
      const cold = item.coldJunction?.kind === "channel" ? junction : undefined;
      this.readings(
        item.channel,
        item.unit,
        later,
        later.map((time) => sensed(item.sensor as Item["sensor"], time, plan.errors?.[index] ?? 0, cold)),
        places,
      );
      if (item.coldJunction?.kind === "channel")
        this.readings(
          item.coldJunction.channel,
          "°C",
          times,
          times.map(() => junction),
          places === null ? null : 2,
        );
    }
    this.add({ kind: "point-measured", pass, point, from, to: later.at(-1)!, at: later.at(-1)! });
    return this;
  }
}
