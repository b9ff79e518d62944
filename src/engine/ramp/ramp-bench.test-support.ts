import { success } from "#fault";
import { seededGenerator, type Generator } from "#numerics";
import { signalOf } from "#thermometry";
import { jobSchema, type Job, type JobInput, type RunEvent } from "#calibration";
import { inventedJob, openingOf } from "../analytic-bench.test-support.ts";
import { adviceFrom } from "../advise.ts";
import { initialState } from "../open-run.ts";
import { replay } from "../evolve.ts";
import type { EngineInput } from "../inputs.ts";
import type { EngineState } from "../state.ts";
import { step } from "../step.ts";

/** How the invented bench really is. Lags in s, temperatures in °C. */
export interface RampTruth {
  readonly rising: number;
  readonly falling: number;
  readonly onRise: "opens" | "closes";
  readonly itemLag: number;
  readonly referenceLag: number;
  /** Standard deviation of one change to the next, K. */
  readonly repeatability: number;
  /** s during which the contact bounces after a change. */
  readonly chatter: number;
  /** What the reference shows too much, and the item's place is too warm, K. */
  readonly referenceError: number;
  readonly placeError: number;
  /** What the source's own sensor is off, K. */
  readonly sourceOffset: number;
  readonly stuck: boolean;
}

export const usualTruth: RampTruth = {
  rising: 60.6,
  falling: 57.3,
  onRise: "opens",
  itemLag: 50,
  referenceLag: 15,
  repeatability: 0.01,
  chatter: 0,
  referenceError: 0,
  placeError: 0,
  sourceOffset: 0.3,
  stuck: false,
};

export const switchJob = (
  ramp: NonNullable<JobInput["procedure"]["ramp"]>,
  change: {
    readonly procedure?: Partial<JobInput["procedure"]>;
    readonly sensor?: Partial<Extract<JobInput["items"][number]["sensor"], { kind: "switch" }>>;
  } = {},
): Job => {
  const base = inventedJob();
  const { points: _, ...procedure } = base.procedure;
  const sensor = {
    kind: "switch",
    onRise: "opens",
    trip: 60,
    deadBand: { minimum: 2, maximum: 5 },
    ...change.sensor,
  };
  const channels = { ...base.bench.channels, "item-1": { ...base.bench.channels["item-1"], unit: "contact" } };
  return jobSchema.parse({
    ...base,
    items: [{ ...base.items[0], unit: "contact", sensor, tolerance: { kelvin: 1 } }],
    procedure: { ...procedure, ramp, ...change.procedure },
    bench: { ...base.bench, channels },
  });
};

/** A physical bench without wires: a source, a reference, a switch; stepped with the run's own clock. */
class RampBench {
  readonly #truth: RampTruth;
  readonly #random: Generator;
  #time = 0;
  #medium = 22;
  #reference = 22;
  #item = 22;
  #warm = false;
  #next = 0;
  #bounceUntil = -1;
  #shift = 0;
  setPoint = 22;
  output = false;

  constructor(truth: RampTruth, random: Generator) {
    this.#truth = truth;
    this.#random = random;
  }

  advanceTo(time: number): void {
    const h = 0.5;
    const { itemLag, referenceLag, rising, falling, repeatability, chatter, placeError, sourceOffset } = this.#truth;
    while (this.#time < time - 1e-9) {
      this.#time += h;
      const wanted = this.output ? this.setPoint + sourceOffset : 22;
      const pull = (wanted - this.#medium) / 30;
      this.#medium += h * Math.max(-0.2, Math.min(0.2, pull));
      this.#reference += (h / referenceLag) * (this.#medium - this.#reference);
      this.#item += (h / itemLag) * (this.#medium + placeError - this.#item);
      const crossed = this.#warm
        ? this.#item < falling + this.#shift + this.#next
        : this.#item > rising + this.#shift + this.#next;
      if (!crossed) continue;
      this.#warm = !this.#warm;
      this.#next = repeatability * this.#random.normal();
      this.#bounceUntil = this.#time + chatter;
    }
  }

  /** Turns the switch's screw: both its changes move by so much, K. */
  adjust(by: number): void {
    this.#shift += by;
  }

  closed(): boolean {
    const { onRise, stuck } = this.#truth;
    const warm = this.#time < this.#bounceUntil ? this.#random.next() < 0.5 : this.#warm;
    return stuck ? onRise === "opens" : (onRise === "closes") === warm;
  }

  referenceSignal(job: Job): number {
    const shown = this.#reference + this.#truth.referenceError + 0.001 * this.#random.normal();
    const at = signalOf(job.kit.reference.sensor, shown);
    if (!at.ok) throw new Error(at.fault.message);
    return Math.round(at.value.signal * 1e4) / 1e4;
  }
}

export interface RampRun {
  readonly log: RunEvent[];
  readonly state: EngineState;
  /** Set points as they were commanded, with their times. */
  readonly commanded: readonly { readonly at: number; readonly temperature: number }[];
  readonly rates: readonly (number | null)[];
}

export interface RampPlan {
  readonly truth?: Partial<RampTruth>;
  readonly seed?: number;
  /** Inputs besides the readings, each after so many seconds. */
  readonly inputs?: readonly { readonly after: number; readonly input: (at: number) => EngineInput }[];
  /** Stop looking after so many seconds, or when the run waits for a person. */
  readonly longest?: number;
  /** At these log lengths everything but the log is forgotten, as after a crash. */
  readonly forgetAt?: (events: number) => boolean;
}

/** Conducts a job with switches on the invented bench, by the engine's own steps, until it ends or waits. */
export const conductRamps = (job: Job, plan: RampPlan = {}): RampRun => {
  const random = seededGenerator(plan.seed ?? 1);
  const bench = new RampBench({ ...usualTruth, ...plan.truth }, random);
  const opened = openingOf(job);
  const log: RunEvent[] = [opened];
  const commanded: { at: number; temperature: number }[] = [];
  const rates: (number | null)[] = [];
  let state = initialState(opened);
  let at = 0;
  const take = (input: EngineInput): void => {
    const taken = step(state, input);
    if (taken.refusal !== undefined) throw new Error(taken.refusal.message);
    for (const event of taken.events) log.push({ ...event, n: log.length } as RunEvent);
    state = taken.state;
    if (taken.events.length > 0 && plan.forgetAt?.(log.length) === true)
      state = replay(initialState(opened), log.slice(1));
    for (const effect of taken.effects) {
      if (effect.kind === "command-set-point") {
        commanded.push({ at, temperature: effect.temperature });
        bench.setPoint = effect.temperature;
      }
      if (effect.kind === "switch-output") bench.output = effect.on;
      if (effect.kind === "advise-adjustment") take({ kind: "advised", at, advice: adviceFrom(log) });
      if (effect.kind === "adjust-items") {
        bench.adjust(effect.adjustments[0]!.zero);
        take({ kind: "adjusted", at, adjustments: effect.adjustments, by: effect.by });
      }
      if (effect.kind === "set-ramp-rate") rates.push(effect.rate);
    }
  };
  take({ kind: "command", at: 0, command: { command: "start", by: "Ines Holloway" } });
  const waiting = [...(plan.inputs ?? [])];
  const { interval } = job.procedure.readings;
  const longest = plan.longest ?? 40_000;
  while (state.ended === null && at < longest) {
    at += interval;
    bench.advanceTo(at);
    while (waiting[0] !== undefined && waiting[0].after <= at) take(waiting.shift()!.input(at));
    if (state.paused !== null && waiting.length === 0) break;
    take({
      kind: "answers",
      at,
      answers: [
        { channel: "reference", time: at, outcome: success({ value: bench.referenceSignal(job), wire: "" }) },
        { channel: "item-1", time: at, outcome: success({ value: bench.closed() ? 1 : 0, wire: "" }) },
      ],
    });
  }
  return { log, state, commanded, rates };
};
