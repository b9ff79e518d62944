import { failure, success, unwrap, type FaultValue, type Outcome } from "#fault";
import { seededGenerator } from "#numerics";
import { signalOf } from "#thermometry";
import { jobSchema, type EventDraft, type Job, type JobInput, type RunEvent } from "#calibration";
import type { RunCommand } from "./inputs.ts";
import { openRun } from "./open-run.ts";
import type { BenchPort, ChannelAnswer, Clock, Journal } from "./ports.ts";
import { createRunner, type Runner } from "./runner.ts";
import type { EngineView } from "./view.ts";

const secondItem: JobInput["items"][number] = {
  id: "item-b",
  tag: "TT-102",
  description: "Pt100 probe, thick well",
  serial: "0002",
  sensor: { kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
  channel: "item-2",
  unit: "Ω",
  tolerance: { kelvin: 0.5 },
  limits: { minimum: -50, maximum: 200 },
};

/** A Pt100 in a bath, two points, invented; what a test changes is merged into the procedure or the item. */
export const inventedJob = (
  change: {
    procedure?: Partial<JobInput["procedure"]>;
    item?: Partial<JobInput["items"][number]>;
    /** A second item on the channel `item-2`; what a test says is merged into it. */
    second?: Partial<JobInput["items"][number]>;
    channels?: JobInput["bench"]["channels"];
    limits?: JobInput["limits"];
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
      ...(change.second === undefined ? [] : [{ ...secondItem, ...change.second }]),
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
    ...(change.limits === undefined ? {} : { limits: change.limits }),
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
        ...(change.second === undefined
          ? {}
          : { "item-2": { instrument: "readout-1", input: 3, unit: change.second.unit ?? "Ω" } }),
        source: { instrument: "bath-1", input: 1, unit: "°C" },
        ...change.channels,
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
  /** A raw signal in place of the one that the sensor gives. */
  signal?: (channel: string, time: number) => number | null;
  /** The item's temperature from its true one. */
  item?: (temperature: number, time: number) => number;
  /** What the reference makes of its true temperature. */
  reference?: (temperature: number, time: number) => number;
  /** The source is disturbed by so much, K. */
  disturbance?: (time: number) => number;
  /** The bench can put the reference into the ice point; the check thermometer is off by so much, K. */
  hands?: boolean;
  /** The reference that is really connected. */
  fitted?: Job["kit"]["reference"]["sensor"];
  checkError?: number;
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
  /** The reference that is really connected, where it is not the job's. */
  fitted: Job["kit"]["reference"]["sensor"] | undefined;
  #from = 22;
  #target = 22;
  #since = 0;
  #place: "source" | "ice-point" | "beside-check-thermometer" = "source";
  readonly placeReference?: NonNullable<BenchPort["placeReference"]>;
  readonly #noise = seededGenerator(7);

  constructor(job: Job, clock: Clock, troubles: BenchTroubles = {}, lag = 40) {
    this.job = job;
    this.clock = clock;
    this.troubles = troubles;
    this.lag = lag;
    this.fitted = troubles.fitted;
    if (troubles.hands === true)
      this.placeReference = async (where) => {
        this.#place = where;
        return success(null);
      };
  }

  /** Somebody carries the reference: into the ice point, or back. */
  put(where: "source" | "ice-point"): void {
    this.#place = where;
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

  #medium(time: number, lag: number): number {
    return this.#source(time, lag) + (this.troubles.disturbance?.(time) ?? 0);
  }

  async read(channels: readonly string[]): Promise<readonly ChannelAnswer[]> {
    const time = this.clock.now();
    return channels.map((channel) => {
      const fault = this.troubles.channel?.(channel, time) ?? null;
      if (fault !== null) return { channel, time, outcome: failure(fault.code, fault.message) };
      const raw = this.troubles.signal?.(channel, time) ?? null;
      if (raw !== null) return this.#answer(channel, time, raw);
      if (channel === "source") return this.#answer(channel, time, this.#source(time, 0));
      if (channel === "check")
        return this.#answer(channel, time, this.#medium(time, 10) + (this.troubles.checkError ?? 0));
      const reference = channel === "reference";
      const index = Math.max(
        0,
        this.job.items.findIndex((item) => item.channel === channel),
      );
      const iced = reference && this.#place === "ice-point";
      const lag = reference ? 10 : this.lag * (1 + 2 * index);
      const temperature = (iced ? 0 : this.#medium(time, lag)) + 0.002 * this.#noise.normal();
      const sensor = reference ? (this.fitted ?? this.job.kit.reference.sensor) : this.job.items[index]!.sensor;
      const shown = reference
        ? (this.troubles.reference?.(temperature, time) ?? temperature)
        : (this.troubles.item?.(temperature, time) ?? temperature + 0.1);
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
    if (!on) {
      // Without heat the bath goes back to the room.
      const now = this.clock.now();
      this.#from = this.#source(now, 0);
      this.#since = now;
      this.#target = 22;
    } else if (this.commanded.length > 0) {
      const now = this.clock.now();
      this.#from = this.#source(now, 0);
      this.#since = now;
      this.#target = this.commanded.at(-1)!;
    }
    return success(null);
  }

  async adjustItem(item: string, zero: number, span: number): Promise<Outcome<null>> {
    this.adjusted.push({ item, zero, span });
    return success(null);
  }

  async close(): Promise<void> {}
}

/** What is asked of the run when it shows something for the first time; answers are kept. */
export interface Asked {
  readonly when: (view: EngineView) => boolean;
  readonly command: RunCommand;
}

/** A run conducted on the analytic bench to its end, asked things on the way in their order. */
export const conductAnalytic = async (
  job: Job,
  troubles: BenchTroubles = {},
  asked: readonly (Asked | ((bench: AnalyticBench) => Asked))[] = [],
  log?: readonly RunEvent[],
  lag?: number,
) => {
  const journal = new MemoryJournal(log ?? [openingOf(job)]);
  const clock = new JumpingClock(journal.events.at(-1)!.at);
  const bench = new AnalyticBench(job, clock, troubles, lag);
  const waiting = asked.map((each) => (typeof each === "function" ? each(bench) : each));
  const answers: Outcome<EngineView>[] = [];
  let busy = false;
  const runner = createRunner({
    bench,
    clock,
    journal,
    log: journal.events,
    onView: (view) => {
      const [next] = waiting;
      if (busy || next === undefined || !next.when(view)) return;
      waiting.shift();
      busy = true;
      void runner.command(next.command).then((answer) => {
        answers.push(answer);
        busy = false;
      });
    },
  });
  unwrap(await runner.start());
  const { commands } = runner.view();
  await runner.command({ command: commands.includes("start") ? "start" : "resume", by: "Ines Holloway" });
  const end = await Promise.race([runner.done, untilStill(runner, () => waiting.length === 0 && !busy)]);
  if (end === null) await runner.leave();
  return { log: journal.events, bench, runner, answers, ended: end !== null };
};

/** Null once the run waits paused with nobody left to ask anything of it. */
const untilStill = async (runner: Runner, quiet: () => boolean): Promise<null> => {
  for (let still = 0; still < 40; still += 1) {
    await new Promise((resolve) => setTimeout(resolve, 5));
    if (!quiet() || runner.view().stage !== "paused") still = -1;
  }
  return null;
};
