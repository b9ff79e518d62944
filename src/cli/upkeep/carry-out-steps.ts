import { Fault, unwrap } from "#fault";
import { stepsOf, type TakenVisit, type UpkeepPlan, type UpkeepStep } from "#upkeep";
import type { OpenUpkeepBench } from "./open-upkeep-bench.ts";
import { SettleWatch, temperatureIn, watchedOf } from "./settle-watch.ts";

export interface StepsOptions {
  readonly plan: UpkeepPlan;
  readonly open: OpenUpkeepBench;
  readonly channels: readonly string[];
  readonly signal: AbortSignal;
  /** Asks a person to do something; resolves when it is done, rejects when nobody will. */
  readonly ask: (step: Extract<UpkeepStep, { do: "arrange" }>) => Promise<void>;
  /** Says what must not be missed. */
  readonly warn: (words: string) => void;
  /** What is going on: step number from 1, how many there are, and the time that is foreseen to be left of it, s. */
  readonly show: (step: UpkeepStep, number: number, of: number, left: number | null) => void;
}

/** Longest wait for rest, and for cooling, s. */
const longestWait = 6 * 3600;
const pollWhileSettling = 2;
const pollWhileCooling = 30;
/** Progress is shown at most so often, s of the bench's clock. */
const showEvery = 60;

/** One procedure on one bench: sets, waits, asks, reads, in the order of its steps. */
class StepsOnBench {
  readonly #options: StepsOptions;
  readonly #visits: TakenVisit[] = [];
  #setPoint: number | null = null;

  constructor(options: StepsOptions) {
    this.#options = options;
  }

  get visits(): readonly TakenVisit[] {
    return this.#visits;
  }

  async all(): Promise<void> {
    const steps = stepsOf(this.#options.plan);
    for (const [index, step] of steps.entries()) {
      this.#goOn();
      const show = (left: number | null): void => this.#options.show(step, index + 1, steps.length, left);
      show(null);
      await this.#one(step, show);
    }
  }

  /** Breaks off where the program was asked to stop. */
  #goOn(): void {
    if (this.#options.signal.aborted)
      throw new Fault("run.not-allowed", "The procedure was broken off; nothing was evaluated.");
  }

  async #one(step: UpkeepStep, show: (left: number | null) => void): Promise<void> {
    const { bench } = this.#options.open;
    switch (step.do) {
      case "caution":
        return;
      case "arrange":
        await this.#options.ask(step);
        this.#options.open.arrange?.(step.place);
        return;
      case "set":
        this.#setPoint = step.temperature;
        unwrap(await bench.commandSetPoint(step.temperature));
        unwrap(await bench.switchOutput(true));
        return;
      case "settle":
        return this.#settle(step.target, show);
      case "read":
        return this.#read(step, show);
      case "cool":
        return this.#cool(step.below, show);
      case "off":
        unwrap(await bench.switchOutput(false));
        return;
    }
  }

  /** All channels once; an instrument that does not answer is thrown as its fault. */
  async #answers(): Promise<ReadonlyMap<string, { readonly time: number; readonly value: number }>> {
    const answers = await this.#options.open.bench.read(this.#options.channels);
    return new Map(answers.map(({ channel, time, outcome }) => [channel, { time, value: unwrap(outcome).value }]));
  }

  async #sleep(seconds: number): Promise<void> {
    const { clock } = this.#options.open;
    await clock.sleepUntil(clock.now() + seconds, this.#options.signal);
    this.#goOn();
  }

  async #settle(target: number, show: (left: number | null) => void): Promise<void> {
    const { clock } = this.#options.open;
    const { item, against } = watchedOf(this.#options.plan);
    const watch = new SettleWatch(this.#setPoint ?? 0, target);
    const begun = clock.now();
    let shown = begun;
    for (;;) {
      const read = await this.#answers();
      const { time, value } = read.get(item.channel)!;
      const one = unwrap(temperatureIn(item, value));
      const other = against === null ? null : unwrap(temperatureIn(against, read.get(against.channel)!.value));
      if (watch.take(time, one, other)) return;
      if (clock.now() - shown >= showEvery) {
        shown = clock.now();
        show(watch.left(shown));
      }
      if (clock.now() - begun > longestWait)
        throw new Fault(
          "settling.too-slow",
          `The difference had not settled within ${target} K after ${longestWait / 3600} hours. Allow a larger target, or look at how the thermometers stand in their wells.`,
        );
      await this.#sleep(pollWhileSettling);
    }
  }

  async #read(step: Extract<UpkeepStep, { do: "read" }>, show: (left: number | null) => void): Promise<void> {
    const { clock } = this.#options.open;
    const begun = clock.now();
    const columns: Record<string, number[]> = { time: [] };
    let shown = begun;
    for (let next = begun; next <= begun + step.seconds + 1e-9; next += step.every) {
      await clock.sleepUntil(next, this.#options.signal);
      this.#goOn();
      const read = await this.#answers();
      columns["time"]!.push(next);
      for (const [channel, { value }] of read) (columns[columnOf(this.#options.plan, channel)] ??= []).push(value);
      if (clock.now() - shown >= showEvery) {
        shown = clock.now();
        show(begun + step.seconds - shown);
      }
    }
    this.#visits.push({ visit: step.visit, readings: columns });
  }

  async #cool(below: number, show: (left: number | null) => void): Promise<void> {
    const { bench, clock } = this.#options.open;
    unwrap(await bench.switchOutput(false));
    const { item, against } = watchedOf(this.#options.plan);
    const reader = against ?? item;
    const begun = clock.now();
    for (;;) {
      const read = await this.#answers();
      if (unwrap(temperatureIn(reader, read.get(reader.channel)!.value)) < below) return;
      if (clock.now() - begun > longestWait)
        throw new Fault("settling.too-slow", `It had not cooled below ${below} °C after ${longestWait / 3600} hours.`);
      show(null);
      await this.#sleep(pollWhileCooling);
    }
  }
}

/** A two-current test and a check call the thermometer under test's readings signal. */
const columnOf = ({ kind }: UpkeepPlan, channel: string): string =>
  (kind === "self-heating" || kind === "reference-check") && channel === "reference" ? "signal" : channel;

/** Carries all steps out and leaves the source without heat, whatever happens. */
export const carryOutSteps = async (options: StepsOptions): Promise<readonly TakenVisit[]> => {
  const steps = new StepsOnBench(options);
  try {
    await steps.all();
    return steps.visits;
  } finally {
    // A check in ice has no source. Everywhere else nobody is at the source after this: take its heat away.
    const off = options.plan.kind === "reference-check" ? null : await options.open.bench.switchOutput(false);
    if (off?.ok === false) options.warn(`Make sure that the source is off. ${off.fault.message}`);
  }
};
