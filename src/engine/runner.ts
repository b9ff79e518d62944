import { failure, faultValue, success, type FaultValue, type Outcome } from "#fault";
import type { RunEvent, RunOpened } from "#calibration";
import { patternRemarks } from "#diagnosis";
import { adviceFrom, checksOf } from "./advise.ts";
import { coolEnough } from "./cautions.ts";
import { awaitsAdjustment } from "./decide-command.ts";
import { replay } from "./evolve.ts";
import type { Effect, EngineInput, RunCommand } from "./inputs.ts";
import { initialState } from "./open-run.ts";
import type { BenchPort, ChannelAnswer, Clock, InstrumentIdentity, Journal } from "./ports.ts";
import { channelsOf, sourceChannelOf, type EngineState } from "./state.ts";
import { step } from "./step.ts";
import { viewOf, type EngineView } from "./view.ts";
import { Wake } from "./wake.ts";

export interface RunnerOptions {
  readonly bench: BenchPort;
  readonly clock: Clock;
  readonly journal: Journal;
  /** The log so far, its first line the opening. */
  readonly log: readonly RunEvent[];
  readonly onView?: (view: EngineView) => void;
  readonly onEvents?: (events: readonly RunEvent[]) => void;
  /** After the end, watch the source until it may be touched, and log that. */
  readonly watchCooling?: boolean;
  /** Say after each point what the errors so far may mean; yes where nothing is said. */
  readonly namePatterns?: boolean;
}

export interface RunnerEnd {
  readonly outcome: "completed" | "stopped" | "failed";
}

export interface Runner {
  /** Checks that the instruments answer, then keeps reading. A run that was broken off waits paused, for `resume`. */
  start(): Promise<Outcome<readonly InstrumentIdentity[]>>;
  /** Resolves once the command is in the log and done, or with why it was refused. */
  command(command: RunCommand): Promise<Outcome<EngineView>>;
  view(): EngineView;
  log(): readonly RunEvent[];
  /** Resolves at the end of the run; rejects only on a defect. */
  readonly done: Promise<RunnerEnd>;
  /** Leaves the bench as it is and stops reading: for tests and for the end of the program. */
  leave(): Promise<void>;
}

const noRampOfItsOwn = (): Promise<Outcome<null>> =>
  Promise.resolve(
    failure(
      "instrument.entry-invalid",
      "The heat source has no ramp rate of its own. Write ramp.by: steps in the procedure, and the set point is moved in small steps.",
    ),
  );

/** Appends that fail in a row before the heat is taken away. */
const journalFailuresToCool = 3;
/** How often a source is told to switch off before a person must do it. */
const triesToSwitchOff = 3;
/** How often the source is looked at while it cools, s. */
const coolingInterval = 30;
/** A real bench has nobody who puts the reference elsewhere: a person is told to. */
const noHand: Outcome<null> = failure("run.not-allowed", "The reference is put there by hand.");

/**
 * Carries a run out over its ports. Inputs are taken one at a time: the step is decided, its events are made durable, and
 * only then are its effects carried out. While an instrument is slow to answer, commands still go through.
 */
class RunnerOverPorts implements Runner {
  readonly #options: RunnerOptions;
  readonly #log: RunEvent[];
  #state: EngineState;
  #wake = new Wake();
  #queue: { input: (at: number) => EngineInput; settle: (outcome: Outcome<EngineView>) => void }[] = [];
  #work: Promise<void> = Promise.resolve();
  #journalFault: FaultValue | null = null;
  #journalFailures = 0;
  #finished = false;
  #left = false;
  #loop: Promise<void> = Promise.resolve();
  #end!: { resolve: (end: RunnerEnd) => void; reject: (cause: unknown) => void };
  readonly done: Promise<RunnerEnd>;

  constructor(options: RunnerOptions) {
    this.#options = options;
    this.#log = [...options.log];
    const opened = options.log[0] as RunOpened;
    this.#state = replay(initialState(opened), options.log.slice(1));
    this.done = new Promise((resolve, reject) => {
      this.#end = { resolve, reject };
    });
    // A caller that never looks at the end must not bring the program down.
    this.done.catch(() => undefined);
  }

  async start(): Promise<Outcome<readonly InstrumentIdentity[]>> {
    const ready = await this.#options.bench.prepare();
    if (!ready.ok) return ready;
    await this.#take((at) => ({ kind: "interrupted", at }));
    this.#loop = this.#keepReading().catch((cause: unknown) => this.#end.reject(cause));
    return ready;
  }

  command(command: RunCommand): Promise<Outcome<EngineView>> {
    return new Promise((resolve) => {
      this.#queue.push({ input: (at) => ({ kind: "command", at, command }), settle: resolve });
      this.#wake.now();
      void this.#serve();
    });
  }

  view(): EngineView {
    const view = viewOf(this.#state);
    const fault = this.#journalFault;
    if (fault === null) return view;
    return {
      ...view,
      stage: view.stage === "ended" ? "ended" : "paused",
      sentence: {
        happening: fault.message,
        now: "Nothing is recorded until this is put right; readings are taken again by themselves.",
      },
      faults: [...view.faults, { at: view.at, code: fault.code, message: fault.message }],
    };
  }

  log(): readonly RunEvent[] {
    return this.#log;
  }

  async leave(): Promise<void> {
    this.#left = true;
    this.#wake.now();
    await this.#loop;
  }

  #now(): number {
    return Math.max(this.#state.at, this.#options.clock.now());
  }

  /** Serves the commands that wait, in order, behind whatever is being done. */
  #serve(): Promise<void> {
    const waiting = this.#queue;
    this.#queue = [];
    for (const { input, settle } of waiting) {
      this.#work = this.#work.then(async () => {
        const taken = await this.#process(input);
        settle(taken.ok ? success(this.view()) : taken);
      });
    }
    return this.#work;
  }

  /** Takes one input of the runner's own, behind whatever is being done. */
  #take(input: (at: number) => EngineInput): Promise<void> {
    this.#work = this.#work.then(async () => {
      await this.#process(input);
    });
    return this.#work;
  }

  async #process(input: (at: number) => EngineInput): Promise<Outcome<null>> {
    const inputs = [input];
    for (let next = inputs.shift(); next !== undefined; next = inputs.shift()) {
      const taken = step(this.#state, next(this.#now()));
      if (taken.refusal !== undefined) return { ok: false, fault: taken.refusal };
      if (taken.events.length > 0) {
        const fault = await this.#append(taken.events);
        if (fault !== null) return { ok: false, fault };
      }
      this.#state = taken.state;
      if (taken.events.length > 0) this.#options.onEvents?.(this.#log.slice(-taken.events.length));
      for (const effect of taken.effects) inputs.push(...(await this.#carryOut(effect)));
      if (taken.events.some(({ kind }) => kind === "point-measured")) inputs.push(...this.#patternInputs());
    }
    // The view is worked out only where somebody looks: at every reading it would cost more than the reading.
    this.#options.onView?.(this.view());
    return success(null);
  }

  /** What the errors so far may mean, if there is something new to say. */
  #patternInputs(): ((at: number) => EngineInput)[] {
    if (this.#options.namePatterns === false) return [];
    const remarks = patternRemarks(this.#log);
    return remarks.length === 0 ? [] : [(at) => ({ kind: "pattern-seen", at, remarks })];
  }

  /** Null when the events are durable; otherwise why not, and after some failures in a row the heat is taken away. */
  async #append(events: Parameters<Journal["append"]>[0]): Promise<FaultValue | null> {
    try {
      this.#log.push(...(await this.#options.journal.append(events)));
      const heatTaken = this.#journalFailures >= journalFailuresToCool;
      this.#journalFault = null;
      this.#journalFailures = 0;
      if (heatTaken) void this.#take((at) => ({ kind: "heat-taken", at }));
      return null;
    } catch (thrown) {
      this.#journalFault = faultValue(thrown);
      this.#journalFailures += 1;
      if (this.#journalFailures === journalFailuresToCool) await this.#options.bench.switchOutput(false);
      this.#options.onView?.(this.view());
      return this.#journalFault;
    }
  }

  /** Carries an effect out; what follows from it comes back as further inputs. */
  async #carryOut(effect: Effect): Promise<((at: number) => EngineInput)[]> {
    const { bench } = this.#options;
    const failed = (fault: FaultValue): ((at: number) => EngineInput)[] => [
      (at) => ({ kind: "effect-failed", at, effect, fault }),
    ];
    switch (effect.kind) {
      case "command-set-point": {
        const done = await bench.commandSetPoint(effect.temperature);
        return done.ok ? [] : failed(done.fault);
      }
      case "set-ramp-rate": {
        const done = await (bench.setRampRate?.(effect.rate) ?? noRampOfItsOwn());
        return done.ok ? [] : failed(done.fault);
      }
      case "switch-output": {
        let done = await bench.switchOutput(effect.on);
        for (let tries = 1; !done.ok && !effect.on && tries < triesToSwitchOff; tries += 1)
          done = await bench.switchOutput(false);
        return done.ok ? [] : failed(done.fault);
      }
      case "advise-adjustment": {
        const advice = adviceFrom(this.#log);
        return [(at) => ({ kind: "advised", at, advice })];
      }
      case "adjust-items": {
        for (const { item, zero, span } of effect.adjustments) {
          const done = await bench.adjustItem(item, zero, span);
          if (!done.ok) return failed(done.fault);
        }
        return [(at) => ({ kind: "adjusted", at, adjustments: effect.adjustments, by: effect.by })];
      }
      case "place-reference": {
        const { where } = effect;
        const done = await (bench.placeReference?.(where) ?? Promise.resolve(noHand));
        return done.ok ? [(at) => ({ kind: "placed", at, where })] : failed(done.fault);
      }
      case "fit-reference":
        await bench.fitReference?.(effect.reference);
        return [];
      case "judge-check": {
        const checks = checksOf(this.#log);
        return [(at) => ({ kind: "check-judged", at, checks })];
      }
      case "finish":
        this.#finished = true;
        return [];
    }
  }

  /** Sleeps until a moment of the run's clock, or until a command comes; true when the moment has come. */
  async #sleepUntil(at: number): Promise<boolean> {
    while (!this.#left && !this.#finished) {
      this.#wake = new Wake();
      await this.#options.clock.sleepUntil(at, this.#wake);
      await this.#serve();
      if (this.#options.clock.now() >= at) return true;
    }
    return false;
  }

  async #keepReading(): Promise<void> {
    const { interval } = this.#state.job.procedure.readings;
    let next = this.#now();
    // After an interruption in the middle of the adjustment, the advice is worked out again from the log.
    if (this.#state.paused === null && awaitsAdjustment(this.#state)) {
      await this.#take((at) => ({ kind: "advised", at, advice: adviceFrom(this.#log) }));
    }
    while (await this.#sleepUntil(next)) {
      if (this.#state.begun && this.#state.ended === null) {
        const answers = await this.#options.bench.read(channelsOf(this.#state.job));
        if (this.#left) break;
        await this.#take((at) => ({ kind: "answers", at, answers }));
      }
      next = Math.max(next + interval, this.#now());
    }
    await this.#work;
    if (this.#state.ended === null) return;
    this.#end.resolve({ outcome: this.#state.ended.outcome });
    if (this.#options.watchCooling === true && !this.#left) await this.#watchCooling();
  }

  async #watchCooling(): Promise<void> {
    const channel = sourceChannelOf(this.#state.job) ?? this.#state.job.kit.reference.channel;
    let at = this.#now();
    while (!this.#left) {
      at += coolingInterval;
      this.#wake = new Wake();
      await this.#options.clock.sleepUntil(at, this.#wake);
      await this.#serve();
      const temperature = this.#temperatureOf((await this.#options.bench.read([channel]))[0]);
      if (temperature === null || temperature >= coolEnough) continue;
      const fault = await this.#append([{ kind: "source-cool", at: this.#now(), temperature, below: coolEnough }]);
      if (fault !== null) continue;
      this.#state = replay(initialState(this.#log[0] as RunOpened), this.#log.slice(1));
      this.#options.onView?.(this.view());
      return;
    }
  }

  #temperatureOf(answer: ChannelAnswer | undefined): number | null {
    if (answer === undefined || !answer.outcome.ok) return null;
    const { value } = answer.outcome.value;
    if (answer.channel !== this.#state.job.kit.reference.channel) return value;
    const converted = this.#state.converter.reference(value);
    return converted.ok ? converted.value : null;
  }
}

export const createRunner = (options: RunnerOptions): Runner => new RunnerOverPorts(options);
