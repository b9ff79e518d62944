import { unwrap } from "#fault";
import { seededGenerator } from "#numerics";
import { signalOf } from "#thermometry";
import { inventedJob } from "../evaluate/invented-run.test-support.ts";
import { jobSchema, type Job, type JobInput } from "../job/job.ts";
import { logFormat, type EventDraft, type RunEvent } from "../log/events.ts";

type SwitchInput = Extract<JobInput["items"][number]["sensor"], { kind: "switch" }>;

export interface RampJobChange {
  readonly sensor?: Partial<SwitchInput>;
  readonly ramp?: NonNullable<JobInput["procedure"]["ramp"]>;
  readonly decision?: JobInput["procedure"]["decision"];
  readonly contributions?: NonNullable<JobInput["items"][number]["contributions"]>;
}

/** A high-alarm switch of the invented works: trips at 90 °C ± 1 K, dead band 2 K to 5 K. */
export const rampJob = ({ sensor, ramp, decision, contributions }: RampJobChange = {}): Job => {
  const { points: _, fit: _f, adjustment: _a, ...procedure } = inventedJob().procedure;
  const base = inventedJob();
  return jobSchema.parse({
    ...base,
    items: [
      {
        ...base.items[0],
        id: "tsh",
        tag: "TSH-118",
        coldJunction: undefined,
        indicationResolution: undefined,
        unit: "contact",
        sensor: { kind: "switch", onRise: "opens", trip: 90, deadBand: { minimum: 2, maximum: 5 }, ...sensor },
        tolerance: { kelvin: 1 },
        contributions: contributions ?? {},
      },
    ],
    procedure: {
      ...procedure,
      passes: ["as-found"],
      decision: decision ?? { kind: "simple" },
      ramp: { rate: 0.5, cycles: 3, before: 3, beyond: 3, ...ramp },
    },
    bench: {
      ...base.bench,
      channels: {
        ...base.bench.channels,
        [base.items[0]!.channel]: { ...base.bench.channels["item-1"]!, unit: "contact" },
      },
    },
  });
};

export interface InventedChange {
  /** Temperature of the reference at the change, °C; null for a contact that does not change. */
  readonly at: number | null;
  /** Seconds of chatter after it. */
  readonly chatter?: number;
}

/** A log of ramps as straight lines, with the contact changing at given temperatures of the reference. */
export class RampLog {
  readonly events: RunEvent[];
  readonly job: Job;
  readonly #interval: number;
  readonly #random = seededGenerator(3);
  #clock = 0;

  constructor(job: Job, { opened = "2026-11-25T08:00:00Z", interval = 2 } = {}) {
    this.job = job;
    this.#interval = interval;
    this.events = [
      {
        kind: "run-opened",
        format: logFormat,
        n: 0,
        at: 0,
        run: "run-ramps",
        opened,
        software: { name: "dwellpoint", version: "0" },
        seed: 1,
        job,
        catalog: [],
      },
    ];
    this.add({ kind: "pass-begun", at: 0, pass: "as-found" });
  }

  add(draft: EventDraft): RunEvent {
    const event = { ...draft, n: this.events.length } as RunEvent;
    this.events.push(event);
    this.#clock = event.at;
    return event;
  }

  /** One ramp of the procedure. */
  ramp(point: number, change: InventedChange, { stated = true, noise = 0 } = {}): this {
    const { temperature, sweep } = this.job.procedure.points[point]!;
    const { from, rate } = sweep!;
    const begun = this.#clock + 600;
    const sign = temperature > from ? 1 : -1;
    const place = { pass: "as-found" as const, point };
    this.add({ kind: "set-point-commanded", ...place, at: this.#clock, temperature: from });
    this.add({ kind: "ramp-begun", ...place, at: begun, from, to: temperature, rate, by: "steps" });
    const end = change.at === null ? temperature : change.at + (sign * rate * 20) / 60;
    const count = Math.ceil((60 * Math.abs(end - from)) / rate / this.#interval) + 2;
    const times = Array.from({ length: count }, (_, index) => begun + index * this.#interval);
    const truth = (time: number): number => from + (sign * rate * (time - begun)) / 60;
    const { reference } = this.job.kit;
    const item = this.job.items[0]!;
    const signals = times.map(
      (time) => unwrap(signalOf(reference.sensor, truth(time) + noise * this.#random.normal())).signal,
    );
    const at = times.at(-1)!;
    this.add({ kind: "readings-taken", at, channel: reference.channel, unit: reference.unit, times, values: signals });
    const closesAfter = (item.sensor.kind === "switch" && item.sensor.onRise === "closes") === sign > 0;
    const moment = change.at === null ? Infinity : begun + (60 * Math.abs(change.at - from)) / rate;
    const until = moment + (change.chatter ?? 0);
    const states = times.map((time, index) =>
      time < moment ? !closesAfter : time < until ? index % 2 === 0 : closesAfter,
    );
    this.add({
      kind: "readings-taken",
      at,
      channel: item.channel,
      unit: "contact",
      times,
      values: states.map((closed) => (closed ? 1 : 0)),
    });
    if (change.at !== null && stated) {
      const left = times.findLastIndex((time) => time < moment);
      const lasting = states.length - [...states].reverse().findIndex((closed) => closed !== closesAfter);
      const bounces = states.slice(left + 1, lasting).filter((closed) => closed !== closesAfter).length;
      const [after, before] = [times[lasting]!, times[left]!];
      this.add({
        kind: "contact-changed",
        ...place,
        at,
        item: item.id,
        closed: closesAfter,
        from: before,
        to: after,
        bounces,
      });
    }
    const unchanged = change.at === null ? [item.id] : [];
    this.add({ kind: "ramp-ended", ...place, at, unchanged, reached: truth(at) });
    return this;
  }

  /** Up and down, as often as the lists are long. */
  cycles(rising: readonly number[], falling: readonly number[], options: { noise?: number } = {}): this {
    for (const [index, up] of rising.entries()) {
      this.ramp(2 * index, { at: up }, options);
      const down = falling[index];
      if (down !== undefined) this.ramp(2 * index + 1, { at: down }, options);
    }
    return this;
  }

  end(outcome: "completed" | "stopped" = "completed"): readonly RunEvent[] {
    this.add({ kind: "run-ended", at: this.#clock, outcome, by: "demo technician" });
    return this.events;
  }
}
