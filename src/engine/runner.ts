import { faultValue, success, type FaultValue, type Outcome } from "#fault";
import type { EventDraft, RunEvent, RunLog } from "#calibration";
import { patternRemarks } from "#diagnosis";
import { adviceFrom } from "./advise.ts";
import { carryOut } from "./carry-out.ts";
import { coolEnough } from "./cautions.ts";
import { awaitsAdjustment } from "./decide-command.ts";
import { evolve } from "./evolve.ts";
import { setsByHand } from "./hand/hand-state.ts";
import { haltedView } from "./halted-view.ts";
import { HeatGuard } from "./heat-guard.ts";
import type { EngineInput, RunCommand } from "./inputs.ts";
import { MissingReadings } from "./missing-readings.ts";
import type { BenchPort, ChannelAnswer, Clock, InstrumentIdentity, Journal } from "./ports.ts";
import { RunMemory } from "./run-memory.ts";
import { channelsOf, readingsHeld, sourceChannelOf, type EngineState } from "./state.ts";
import { step } from "./step.ts";
import { viewOf, type EngineView } from "./view.ts";
import { Wake } from "./wake.ts";

export interface RunnerOptions {
  readonly bench: BenchPort;
  readonly clock: Clock;
  readonly journal: Journal;
  /** The log so far, its first line the opening; or what was gathered from a long one as it was read. */
  readonly log: readonly RunEvent[] | RunMemory;
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
  /**
   * Takes the heat away at once and pauses: waits for nothing, neither for an instrument in the middle of a question nor for
   * a journal that cannot write. The log says so as soon as it can. A stop by command does the same before it ends the run.
   */
  halt(by: string): EngineView;
  /** Somebody is there: the time that the source may heat with nobody near begins anew. */
  attend(): void;
  view(): EngineView;
  /** What is kept of the log: all that is no reading, and the readings that an evaluation asks for. The whole is in the journal. */
  log(): RunLog;
  /** Lines of the whole log, and the last of them. */
  lines(): number;
  last(): RunEvent;
  /** Readings held in memory: of the log, of the state, and of what waits for the log. Bounded, however long the run. */
  held(): number;
  /** Resolves at the end of the run; rejects only on a defect. */
  readonly done: Promise<RunnerEnd>;
  /** Leaves the bench as it is and stops reading: for tests and for the end of the program. */
  leave(): Promise<void>;
}

/** Appends that fail in a row before the heat is taken away. */
const journalFailuresToCool = 3;
/** How often the source is looked at while it cools, s. */
const coolingInterval = 30;
const tooSlow = (took: number, interval: number): string =>
  `The round before took ${took.toFixed(2)} s, and one is asked for every ${interval} s. If that goes on, ask for fewer readings a second (procedure.readings.interval), or spread the channels over more instruments.`;

/**
 * Carries a run out over its ports. Inputs are taken one at a time: the step is decided, its events are made durable, and
 * only then are its effects carried out. While an instrument is slow to answer, commands still go through.
 */
class RunnerOverPorts implements Runner {
  readonly #options: RunnerOptions;
  readonly #memory: RunMemory;
  readonly #missing = new MissingReadings();
  readonly #guard: HeatGuard;
  /** When the next round is due, s; infinity while nothing is read. */
  #due = Number.POSITIVE_INFINITY;
  /** What a halt is to become in the log: a pause, or the end. */
  #halting: ((at: number) => EngineInput) | null = null;
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
    this.#memory = options.log instanceof RunMemory ? options.log : RunMemory.of(options.log);
    this.#state = this.#memory.state;
    this.#guard = new HeatGuard(options.bench, () => options.onView?.(this.view()));
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
    const input = (at: number): EngineInput => ({ kind: "command", at, command });
    if (command.command === "stop") this.#halt(command.by, input);
    return this.#ask(input);
  }

  halt(by: string): EngineView {
    if (this.#halting === null) {
      this.#halt(by, (at) => ({ kind: "halted", at, by }));
      void this.#ask(this.#halting!);
    }
    return this.view();
  }

  attend(): void {
    void this.#ask((at) => ({ kind: "attended", at }));
  }

  #halt(by: string, input: (at: number) => EngineInput): void {
    this.#halting = input;
    if (this.#state.ended === null) this.#guard.take(by, !setsByHand(this.#state.job));
  }

  #ask(input: (at: number) => EngineInput): Promise<Outcome<EngineView>> {
    return new Promise((resolve) => {
      this.#queue.push({ input, settle: resolve });
      this.#wake.now();
      void this.#serve();
    });
  }

  view(): EngineView {
    const view = viewOf(this.#state);
    const fault = this.#journalFault;
    const { halt } = this.#guard;
    if (halt !== null && view.stage !== "ended") return haltedView(view, halt, fault);
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

  log(): RunLog {
    return this.#memory.log();
  }

  lines(): number {
    return this.#memory.lines;
  }

  last(): RunEvent {
    return this.#memory.last!;
  }

  held(): number {
    return this.#memory.readings + readingsHeld(this.#state);
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
        const appended = await this.#append(taken.events);
        if (!appended.ok) return appended;
        this.#state = taken.state;
        this.#options.onEvents?.(appended.value);
      } else this.#state = taken.state;
      for (const effect of taken.effects)
        inputs.push(
          ...(await carryOut(effect, {
            bench: this.#options.bench,
            guard: this.#guard,
            log: () => this.#memory.log(),
          })),
        );
      if (taken.effects.some(({ kind }) => kind === "finish")) this.#finished = true;
      if (this.#halting !== null && next === this.#halting) this.#recordedHalt();
      if (taken.events.some(({ kind }) => kind === "point-measured")) inputs.push(...this.#patternInputs());
    }
    // The view is worked out only where somebody looks: at every reading it would cost more than the reading.
    this.#options.onView?.(this.view());
    return success(null);
  }

  /** The log has it, and the source has answered what was asked of it. */
  #recordedHalt(): void {
    this.#halting = null;
    this.#guard.release();
  }

  /** What the errors so far may mean, if there is something new to say. */
  #patternInputs(): ((at: number) => EngineInput)[] {
    if (this.#options.namePatterns === false) return [];
    const remarks = patternRemarks(this.#memory.log());
    return remarks.length === 0 ? [] : [(at) => ({ kind: "pattern-seen", at, remarks })];
  }

  /** The events once they are durable; otherwise why they are not, and after some failures in a row the heat is taken away. */
  async #append(events: readonly EventDraft[]): Promise<Outcome<readonly RunEvent[]>> {
    const ending = events.some(({ kind }) => kind === "run-ended");
    if (ending) this.#noteUnread(events[0]!.at);
    for (const event of events)
      if (event.kind === "fault-seen" && event.channel !== undefined) this.#missing.forget(event.channel);
    const missing = this.#missing.due(events[0]!.at, ending);
    try {
      const appended = await this.#options.journal.append([...missing.drafts, ...events]);
      missing.said();
      for (const event of appended) this.#memory.note(event);
      const heatTaken = this.#journalFailures >= journalFailuresToCool;
      this.#journalFault = null;
      this.#journalFailures = 0;
      if (heatTaken) void this.#take((at) => ({ kind: "heat-taken", at }));
      return success(appended);
    } catch (thrown) {
      this.#journalFault = faultValue(thrown);
      this.#journalFailures += 1;
      if (this.#journalFailures === journalFailuresToCool) await this.#options.bench.switchOutput(false);
      this.#options.onView?.(this.view());
      return { ok: false, fault: this.#journalFault };
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
      await this.#take((at) => ({ kind: "advised", at, advice: adviceFrom(this.#memory.log()) }));
    }
    while (await this.#sleepUntil(next)) {
      // What somebody stopped, and could not be recorded then, is recorded now.
      if (this.#halting !== null && this.#queue.length === 0) await this.#take(this.#halting);
      if (this.#state.begun && this.#state.ended === null) {
        const answers = await this.#options.bench.read(channelsOf(this.#state.job));
        if (this.#left) break;
        this.#due = next + interval;
        this.#noteMissing(answers);
        await this.#take((at) => ({ kind: "answers", at, answers }));
      }
      next = this.#nextRound(next + interval, interval);
    }
    await this.#work;
    if (this.#state.ended === null) return;
    this.#end.resolve({ outcome: this.#state.ended.outcome });
    if (this.#options.watchCooling === true && !this.#left) await this.#watchCooling();
  }

  #noteMissing(answers: readonly ChannelAnswer[]): void {
    if (this.#state.paused !== null) return;
    for (const { channel, time, outcome } of answers)
      if (outcome.ok) this.#missing.heard(channel);
      else this.#missing.channel(channel, time, outcome.fault.message);
  }

  /** Rounds that were due when the run ended, and were not read any more. */
  #noteUnread(at: number): void {
    const { interval } = this.#state.job.procedure.readings;
    if (!this.#state.begun || this.#state.paused !== null || at <= this.#due + 1e-9) return;
    const rounds = Math.ceil((at - this.#due) / interval - 1e-9);
    this.#missing.rounds(rounds, this.#due, at, "The run ended before they were read.");
    this.#due = Number.POSITIVE_INFINITY;
  }

  /** When the next round is due. What lies a whole interval or more behind by now cannot be read any more: the log says so. */
  #nextRound(due: number, interval: number): number {
    const now = this.#now();
    const late = Math.floor((now - due) / interval + 1e-9);
    if (late < 1) return due;
    const next = due + late * interval;
    if (this.#state.begun && this.#state.ended === null && this.#state.paused === null)
      this.#missing.rounds(
        late,
        due,
        next - interval,
        this.#journalFault?.message ?? tooSlow(now - due + interval, interval),
      );
    return next;
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
      const appended = await this.#append([{ kind: "source-cool", at: this.#now(), temperature, below: coolEnough }]);
      if (!appended.ok) continue;
      this.#state = appended.value.reduce(evolve, this.#state);
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
