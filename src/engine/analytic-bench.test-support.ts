import { failure, success, unwrap, type FaultValue, type Outcome } from "#fault";
import { seededGenerator } from "#numerics";
import { signalOf } from "#thermometry";
import { jobSchema, type EventDraft, type Job, type JobInput, type RunEvent } from "#calibration";
import { openRun } from "./open-run.ts";
import type { BenchPort, ChannelAnswer, Clock, Journal } from "./ports.ts";

/** A Pt100 in a bath, two points, invented; what a test changes is merged into the procedure or the item. */
export const inventedJob = (
  change: {
    procedure?: Partial<JobInput["procedure"]>;
    item?: Partial<JobInput["items"][number]>;
    passes?: readonly string[];
  } = {},
): Job =>
  jobSchema.parse({
    job: "T-1",
    title: "Invented job",
    laboratory: { name: "Calder Vale Calibration", address: ["1 Invented Lane"] },
    customer: { name: "Marrow & Finch", address: ["2 Invented Road"] },
    place: "pasteuriser hall",
    technician: "Ines Holloway",
    conditions: { ambientTemperature: { value: 22, halfWidth: 2 } },
    items: [
      {
        id: "item-a",
        tag: "TT-101",
        description: "Pt100 probe",
        serial: "0001",
        sensor: {
          kind: "platinum",
          equation: "callendar-van-dusen",
          r0: 100,
          a: 3.9083e-3,
          b: -5.775e-7,
          c: -4.183e-12,
        },
        channel: "item-1",
        unit: "Ω",
        tolerance: { kelvin: 0.5 },
        limits: { minimum: -50, maximum: 200 },
        ...change.item,
      },
    ],
    kit: {
      reference: {
        id: "ref",
        description: "reference probe",
        serial: "R-1",
        sensor: {
          kind: "platinum",
          equation: "callendar-van-dusen",
          r0: 100,
          a: 3.9083e-3,
          b: -5.775e-7,
          c: -4.183e-12,
        },
        channel: "reference",
        unit: "Ω",
        range: { minimum: -50, maximum: 250 },
        calibration: {
          certificate: "X-1",
          laboratory: "Invented",
          date: "2026-01-10",
          due: "2027-01-10",
          uncertainty: 0.02,
        },
        driftPerYear: 0.01,
      },
      readout: {
        id: "readout",
        description: "readout",
        serial: "M-1",
        calibration: { certificate: "X-2", laboratory: "Invented", date: "2026-01-10", due: "2027-01-10" },
        accuracy: [
          { unit: "Ω", absolute: 0.002, resolution: 0.0001 },
          { unit: "mA", absolute: 0.001, resolution: 0.0001 },
        ],
      },
      source: {
        id: "bath",
        description: "bath",
        serial: "B-1",
        class: "bath",
        range: { minimum: -40, maximum: 200 },
        stability: 0.01,
        axial: 0.01,
        radial: 0.01,
      },
    },
    procedure: {
      method: { identifier: "M", revision: "1", title: "Comparison" },
      points: [{ temperature: 50 }, { temperature: 100 }],
      readings: { count: 10, interval: 2 },
      settling: { target: { kelvin: 0.05 } },
      decision: { kind: "simple" },
      ...change.procedure,
    },
    bench: {
      instruments: [
        { id: "bath-1", entry: "scpi-heat-source", at: "simulated", role: "source" },
        { id: "readout-1", entry: "scpi-thermometer-readout", at: "simulated", role: "readout" },
      ],
      channels: {
        reference: { instrument: "readout-1", input: 1, unit: "Ω" },
        "item-1": { instrument: "readout-1", input: 2, unit: change.item?.unit ?? "Ω" },
        source: { instrument: "bath-1", input: 1, unit: "°C" },
      },
    },
    rehearsal: true,
  });

export const openingOf = (job: Job, run = "run-1") =>
  openRun({
    job,
    run,
    opened: "2026-06-01T08:00:00Z",
    seed: 1,
    software: { name: "dwellpoint", version: "0.1.0" },
    catalog: [],
  });

/** A clock that jumps; nothing here takes real time. */
export class JumpingClock implements Clock {
  time: number;
  #sleeps = 0;
  constructor(time = 0) {
    this.time = time;
  }
  now(): number {
    return this.time;
  }
  async sleepUntil(at: number): Promise<void> {
    this.time = Math.max(this.time, at);
    // A turn of the event loop now and then, so that timers of the test itself are not starved.
    this.#sleeps += 1;
    if (this.#sleeps % 20 === 0) await new Promise((resolve) => setImmediate(resolve));
  }
}

/** Keeps events in memory, numbered as a journal must; can be told to fail. */
export class MemoryJournal implements Journal {
  readonly events: RunEvent[];
  failing: Error | null = null;
  constructor(log: readonly RunEvent[]) {
    this.events = [...log];
  }
  async append(drafts: readonly EventDraft[]): Promise<readonly RunEvent[]> {
    if (this.failing !== null) throw this.failing;
    const first = this.events.length;
    const numbered = drafts.map((draft, index) => ({ ...draft, n: first + index }) as RunEvent);
    this.events.push(...numbered);
    return numbered;
  }
}

export interface BenchTroubles {
  /** A fault for a channel while it says so. */
  channel?: (channel: string, time: number) => FaultValue | null;
  /** The item's temperature from its true one. */
  item?: (temperature: number, time: number) => number;
}

/** One first-order source and two probes with lags of their own, in closed form between commands. */
export class AnalyticBench implements BenchPort {
  readonly job: Job;
  readonly clock: Clock;
  readonly troubles: BenchTroubles;
  readonly lag: number;
  readonly commanded: number[] = [];
  readonly switched: boolean[] = [];
  readonly adjusted: { item: string; zero: number; span: number }[] = [];
  #from = 22;
  #target = 22;
  #since = 0;
  readonly #noise = seededGenerator(7);

  constructor(job: Job, clock: Clock, troubles: BenchTroubles = {}, lag = 40) {
    this.job = job;
    this.clock = clock;
    this.troubles = troubles;
    this.lag = lag;
  }

  async prepare(): Promise<Outcome<readonly { instrument: string; identification: string }[]>> {
    return success(this.job.bench.instruments.map(({ id }) => ({ instrument: id, identification: "invented" })));
  }

  #source(time: number, lag: number): number {
    // Response of a chain of two different lags to a step, closed form.
    const age = Math.max(0, time - this.#since);
    const own = 90;
    const left =
      lag === 0 ? Math.exp(-age / own) : (own * Math.exp(-age / own) - lag * Math.exp(-age / lag)) / (own - lag);
    return this.#target + (this.#from - this.#target) * left;
  }

  async read(channels: readonly string[]): Promise<readonly ChannelAnswer[]> {
    const time = this.clock.now();
    return channels.map((channel) => {
      const fault = this.troubles.channel?.(channel, time) ?? null;
      if (fault !== null) return { channel, time, outcome: failure(fault.code, fault.message) };
      if (channel === "source") return this.#answer(channel, time, this.#source(time, 0));
      const reference = channel === "reference";
      const temperature = this.#source(time, reference ? 10 : this.lag) + 0.002 * this.#noise.normal();
      const sensor = reference ? this.job.kit.reference.sensor : this.job.items[0]!.sensor;
      const shown = reference ? temperature : (this.troubles.item?.(temperature, time) ?? temperature + 0.1);
      return this.#answer(channel, time, unwrap(signalOf(sensor, shown)).signal);
    });
  }

  #answer(channel: string, time: number, value: number): ChannelAnswer {
    const wire = value.toFixed(5);
    return { channel, time, outcome: success({ value: Number(wire), wire }) };
  }

  async commandSetPoint(temperature: number): Promise<Outcome<null>> {
    this.#from = this.#source(this.clock.now(), 0);
    this.#since = this.clock.now();
    this.#target = temperature;
    this.commanded.push(temperature);
    return success(null);
  }

  async switchOutput(on: boolean): Promise<Outcome<null>> {
    this.switched.push(on);
    return success(null);
  }

  async adjustItem(item: string, zero: number, span: number): Promise<Outcome<null>> {
    this.adjusted.push({ item, zero, span });
    return success(null);
  }

  async close(): Promise<void> {}
}
