import type { Job, RunEvent } from "#calibration";
import type { RunView } from "#contract";
import { createRunner, type EngineView, type Journal, type RunMemory, type Runner } from "#engine";
import { unwrap, type FaultValue } from "#fault";
import type { BenchHost, HostedBench } from "#station";
import type { ByHand } from "./by-hand.ts";
import type { ScriptedCommands } from "./scripted-commands.ts";
import { within } from "./within.ts";

/** What a person at the terminal may answer when a run waits for them. */
export type Answer = "resume" | "skip-point" | "stop" | "confirm-adjustment" | "confirm-check" | "skip-check" | "leave";

export interface ConductOptions {
  readonly host: BenchHost;
  /** What the log so far comes to: the opening alone for a new run. */
  readonly memory: RunMemory;
  /** Opens the journal once the bench has answered, so that nothing is left behind by a bench that never did. */
  readonly openJournal: () => Promise<Journal & { close(): Promise<void> }>;
  readonly speed: number;
  readonly operator: string;
  /** Aborted when the program is asked to stop. */
  readonly signal: AbortSignal;
  readonly show: (view: RunView, events: number) => void;
  /** Asks the person at the terminal; null where nobody can answer. */
  readonly ask: ((view: EngineView) => Promise<Answer>) | null;
  /** Asks for readings and set points by hand. */
  readonly byHand: ByHand;
  /** Commands from a file. */
  readonly script?: ScriptedCommands | null | undefined;
  /** Tells when the person at the terminal presses a key: somebody is there. */
  readonly presence?: ((touched: () => void) => { end(): void }) | undefined;
  /** An adjustment by hand that was asked for before the run was left has been made. */
  readonly adjusted?: boolean | undefined;
  /** What is to stand in the log about how the run came to be as it is. */
  readonly note?: string | null | undefined;
}

export interface Conducted {
  /** `waiting`: the run stands paused in its log and can be resumed; `fault` says why. */
  readonly outcome: "completed" | "stopped" | "failed" | "waiting";
  readonly fault: FaultValue | null;
}

/** How long a program that is being stopped waits for a journal or an instrument that hangs, ms. */
const patience = 10_000;

const waits = (view: EngineView): boolean =>
  view.stage === "paused" ||
  (["confirm-adjustment", "confirm-check"] as const).some((command) => view.commands.includes(command));

const reasonToWait = (view: EngineView, log: readonly RunEvent[]): FaultValue => {
  const seen = log.findLast((event) => event.kind === "fault-seen");
  const paused = log.findLast((event) => event.kind === "run-paused");
  const isFault =
    view.stage === "paused" && seen !== undefined && paused !== undefined && paused.reason === seen.message;
  return {
    code: isFault ? (seen.code as FaultValue["code"]) : "run.not-allowed",
    message: isFault
      ? `${seen.message}${view.contact === null ? "" : ` ${view.contact.words}`}`
      : `${view.sentence.happening} ${view.sentence.now}`,
  };
};

/** Somebody was to read or set something by hand, and the input had ended. */
const nobodyTypes = ({ sentence }: EngineView): FaultValue => ({
  code: "run.not-allowed",
  message: `${sentence.happening} ${sentence.now} Nobody can answer here: run it on a terminal, or give answers on the standard input, one JSON line each: {"typed":"50.2"}.`,
});

/** Resolves when the run waits for a person, and again after each time it went on. */
class Waiting {
  #wake: (() => void) | null = null;
  #waits = false;

  note(view: EngineView): void {
    this.#waits = waits(view);
    if (this.#waits) {
      this.#wake?.();
      this.#wake = null;
    }
  }

  next(): Promise<void> {
    if (this.#waits) return Promise.resolve();
    return new Promise((resolve) => {
      this.#wake = resolve;
    });
  }
}

const carryOn = async (runner: Runner, answer: Exclude<Answer, "leave">, by: string): Promise<void> => {
  const command =
    answer === "skip-point" || answer === "skip-check"
      ? { command: answer, by, reason: "skipped at the terminal" }
      : answer === "stop"
        ? { command: answer, by, reason: "stopped at the terminal" }
        : { command: answer, by };
  unwrap(await runner.command(command));
};

/** Goes on until the run ends, or until it waits for somebody who is not there. */
const untilEnd = async (runner: Runner, waiting: Waiting, options: ConductOptions): Promise<Conducted> => {
  for (;;) {
    const end = await Promise.race([
      runner.done,
      waiting.next().then(() => null),
      options.byHand.nobody.then(() => "nobody" as const),
    ]);
    if (end === "nobody") return { outcome: "waiting", fault: nobodyTypes(runner.view()) };
    if (end !== null) return { outcome: end.outcome, fault: null };
    const view = runner.view();
    if (options.signal.aborted) return await stopped(runner);
    // It may have gone on in the same moment.
    if (!waits(view)) continue;
    // A break is waited for while it holds; a command from a file that is due goes first.
    if (options.script?.isBusy(view) === true) {
      await options.script.settled();
      waiting.note(runner.view());
      continue;
    }
    const answer = options.ask === null ? "leave" : await options.ask(view);
    if (options.signal.aborted) return await stopped(runner);
    if (answer === "leave") return { outcome: "waiting", fault: reasonToWait(view, runner.log()) };
    await carryOn(runner, answer, options.operator);
    waiting.note(runner.view());
  }
};

/** The program was asked to stop: the heat is gone at once; that the run ended is waited for as long as is decent. */
const stopped = async (runner: Runner): Promise<Conducted> => {
  const end = await within(runner.done, patience);
  if (end !== null) return { outcome: end.outcome, fault: null };
  return { outcome: "waiting", fault: reasonToWait(runner.view(), runner.log()) };
};

const begin = async (runner: Runner, { operator, adjusted, note }: ConductOptions, resumed: boolean): Promise<void> => {
  unwrap(await runner.start());
  if (note !== null && note !== undefined)
    unwrap(await runner.command({ command: "add-note", by: operator, text: note }));
  const { commands } = runner.view();
  if (commands.includes("start")) unwrap(await runner.command({ command: "start", by: operator }));
  else if (commands.includes("resume") && resumed) unwrap(await runner.command({ command: "resume", by: operator }));
  if (adjusted === true && runner.view().commands.includes("confirm-adjustment")) {
    unwrap(await runner.command({ command: "confirm-adjustment", by: operator }));
  }
};

const conductOn = async (hosted: HostedBench, job: Job, options: ConductOptions): Promise<Conducted> => {
  unwrap(await hosted.bench.prepare());
  const journal = await options.openJournal();
  const resumed = options.memory.lines > 1;
  const waiting = new Waiting();
  const { byHand } = options;
  const runner = createRunner({
    bench: hosted.bench,
    clock: hosted.speed === 1 ? hosted.clock : byHand.held(hosted.clock),
    journal,
    log: options.memory,
    onView: (view) => {
      options.show({ ...view, speed: hosted.speed } as RunView, runner.lines());
      options.script?.note(view, runner, job, options.operator);
      byHand.note(view, runner, options.script?.isBusy(view) === true);
      waiting.note(view);
    },
  });
  const stop = (): void => {
    void runner.command({ command: "stop", by: options.operator, reason: "the program was asked to stop" });
  };
  options.signal.addEventListener("abort", stop);
  const presence = options.presence?.(() => runner.attend());
  try {
    await begin(runner, options, resumed);
    if (options.signal.aborted) stop();
    return await untilEnd(runner, waiting, options);
  } finally {
    options.signal.removeEventListener("abort", stop);
    byHand.close();
    presence?.end();
    // Whatever happened, nobody is at the source after this: take its heat away, and wait for nothing before that.
    const off = hosted.bench.switchOutput(false);
    await within(runner.leave(), patience);
    await off;
    // What was on its way meanwhile may have switched it on again.
    await hosted.bench.switchOutput(false);
    await within(journal.close(), patience);
  }
};

/**
 * Conducts a run on its bench until it ends or waits for somebody, and leaves the source without heat. A log that already
 * holds events is gone on with: the run's clock starts where it broke off and the present point is approached anew.
 */
export const conduct = async (options: ConductOptions): Promise<Conducted> => {
  const { state } = options.memory;
  const { job, catalog, seed, opened: at } = state.opened;
  const hosted = await options.host.open({
    job: { ...job, kit: state.job.kit },
    catalog,
    opened: at,
    // Where the log breaks off: from here on the run's clock goes on.
    from: state.at,
    seed,
    speed: options.speed,
    trims: options.memory.log().flatMap((event) => (event.kind === "item-adjusted" ? [event] : [])),
  });
  try {
    return await conductOn(hosted, job, options);
  } finally {
    await hosted.close();
  }
};
