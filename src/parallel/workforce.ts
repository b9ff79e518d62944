import { availableParallelism } from "node:os";
import { Piscina } from "piscina";
import {
  pointSimulations,
  validationOf,
  type PointSimulation,
  type PointValidation,
  type Result,
  type RunEvent,
  type ValidationSettings,
} from "#calibration";
import { Fault, type Outcome } from "#fault";
import {
  aboutCentre,
  budgetSimulation,
  SimulationRun,
  type Budget,
  type Simulated,
  type SimulationSettings,
} from "#uncertainty";
import { trialsOf, type BlocksTask, type Evaluated, type SimulatedProblem } from "./tasks.ts";

/** How far a piece of work has come; `of` is null where nobody knows how much it will be. */
export interface WorkProgress {
  readonly done: number;
  readonly of: number | null;
}

export interface WorkOptions {
  readonly onProgress?: (progress: WorkProgress) => void;
  /** Aborted: the work stops and its promise is rejected with the signal's reason. What is not begun yet is dropped. */
  readonly signal?: AbortSignal;
}

export interface Workforce {
  readonly threads: number;
  /** `simulateBudget` of `#uncertainty` on all threads: the same digits, whatever their number. */
  simulateBudget(
    budget: Budget,
    settings: Omit<SimulationSettings, "level" | "limits">,
    options?: WorkOptions,
  ): Promise<Outcome<Simulated>>;
  /** The simulation of one point of a run through its real model. */
  simulatePoint(
    simulation: Pick<PointSimulation, "description" | "settings">,
    options?: WorkOptions,
  ): Promise<Outcome<Simulated>>;
  /** `validatePoints` of `#calibration` on all threads; progress counts points. */
  validatePoints(
    log: readonly RunEvent[],
    result: Result,
    settings?: ValidationSettings,
    options?: WorkOptions,
  ): Promise<PointValidation[]>;
  /** `evaluate` of each run log, given as text; answers in the order of the logs. Progress counts logs. */
  evaluateLogs(texts: readonly string[], options?: WorkOptions): Promise<Evaluated[]>;
  /** Lets the threads go. Work that is under way is finished first. */
  close(): Promise<void>;
}

export interface WorkforceOptions {
  /** Number of threads; the machine's where nothing is said. */
  readonly threads?: number;
}

/** Blocks that go to a thread at once: enough that handing over costs little, few enough that a cancel is soon obeyed. */
const blocksInTask = 5;
const logsInTask = 8;
/** Tasks on their way per thread: one at work, one waiting. */
const tasksAhead = 2;

/** A promise that is rejected when the signal is aborted; `forget` takes its hand off the signal. */
const rejectionOf = (signal: AbortSignal): { readonly aborted: Promise<never>; forget(): void } => {
  const { promise, reject } = Promise.withResolvers<never>();
  const onAbort = (): void => reject(signal.reason);
  signal.addEventListener("abort", onAbort, { once: true });
  // Nobody may be waiting for it at the moment when it comes.
  promise.catch(() => undefined);
  return { aborted: promise, forget: () => signal.removeEventListener("abort", onAbort) };
};

class Pool implements Workforce {
  readonly threads: number;
  readonly #pool: Piscina;
  #simulations = 0;
  #closed = false;

  constructor(threads: number) {
    this.threads = threads;
    this.#pool = new Piscina({
      filename: new URL("./worker.ts", import.meta.url).href,
      minThreads: 0,
      maxThreads: threads,
      idleTimeout: 2000,
      // The program's own flags (an --eval among them) are not for its threads.
      execArgv: ["--disable-warning=ExperimentalWarning"],
    });
  }

  async simulateBudget(
    budget: Budget,
    settings: Omit<SimulationSettings, "level" | "limits">,
    options: WorkOptions = {},
  ): Promise<Outcome<Simulated>> {
    const prepared = budgetSimulation(budget);
    if (!prepared.ok) return prepared;
    const { inputs, sensitivities, centre, level } = prepared.value;
    const { seed } = settings;
    const problem = { kind: "sum", inputs, sensitivities, correlations: budget.correlations ?? [], seed } as const;
    const outcome = await this.#simulate(problem, { ...settings, level }, options);
    return outcome.ok ? aboutCentre(outcome.value, centre) : outcome;
  }

  simulatePoint(
    { description, settings }: Pick<PointSimulation, "description" | "settings">,
    options: WorkOptions = {},
  ): Promise<Outcome<Simulated>> {
    return this.#simulate({ kind: "point", description, seed: settings.seed }, settings, options);
  }

  async validatePoints(
    log: readonly RunEvent[],
    result: Result,
    settings: ValidationSettings = {},
    { onProgress, signal }: WorkOptions = {},
  ): Promise<PointValidation[]> {
    const simulations = pointSimulations(log, result, settings);
    const validations: PointValidation[] = [];
    for (const simulation of simulations) {
      onProgress?.({ done: validations.length, of: simulations.length });
      const outcome = await this.simulatePoint(simulation, signal === undefined ? {} : { signal });
      validations.push(validationOf(simulation, outcome));
    }
    onProgress?.({ done: validations.length, of: simulations.length });
    return validations;
  }

  async evaluateLogs(texts: readonly string[], { onProgress, signal }: WorkOptions = {}): Promise<Evaluated[]> {
    const answers: Evaluated[] = [];
    await this.#inOrder<readonly string[], Evaluated[]>(
      {
        next: (index) => {
          const part = texts.slice(index * logsInTask, (index + 1) * logsInTask);
          return part.length === 0 ? undefined : part;
        },
        work: (part) => this.#pool.run(part, { name: "evaluations" }) as Promise<Evaluated[]>,
        take: (_, results) => {
          answers.push(...results);
          onProgress?.({ done: answers.length, of: texts.length });
          return true;
        },
      },
      signal,
    );
    return answers;
  }

  async close(): Promise<void> {
    this.#closed = true;
    await this.#pool.close();
  }

  async #simulate(
    problem: SimulatedProblem,
    settings: SimulationSettings,
    { onProgress, signal }: WorkOptions,
  ): Promise<Outcome<Simulated>> {
    const begun = SimulationRun.begin(settings);
    if (!begun.ok) return begun;
    // Whatever cannot be drawn is said here; the threads get sound problems only.
    const sound = trialsOf(problem);
    if (!sound.ok) return sound;
    const run = begun.value;
    const simulation = (this.#simulations += 1);
    await this.#inOrder<BlocksTask, Float64Array>(
      {
        next: (index) => {
          const first = index * blocksInTask;
          const counts = Array.from({ length: blocksInTask }, (_, block) => run.countOf(first + block)).filter(Boolean);
          return counts.length === 0 ? undefined : { simulation, problem, first, counts };
        },
        work: (task) => this.#pool.run(task, { name: "blocks" }) as Promise<Float64Array>,
        take: ({ counts }, all) => {
          let place = 0;
          for (const count of counts) {
            if (run.done) return false;
            run.take(all.subarray(place, place + count));
            place += count;
          }
          onProgress?.(run.progress);
          return !run.done;
        },
      },
      signal,
    );
    return run.outcome();
  }

  /**
   * Keeps the threads busy with tasks 0, 1, 2 … and takes their results in that order, until `next` has no more or `take`
   * wants none. What was begun too much is waited for and thrown away.
   */
  async #inOrder<T, R>(
    job: { next(index: number): T | undefined; work(task: T): Promise<R>; take(task: T, result: R): boolean },
    signal: AbortSignal | undefined,
  ): Promise<void> {
    signal?.throwIfAborted();
    if (this.#closed) throw new Fault("internal", "This workforce has been closed; make another.");
    const rejection = signal === undefined ? undefined : rejectionOf(signal);
    const under: { readonly task: T; readonly result: Promise<R> }[] = [];
    let index = 0;
    const begin = (): void => {
      while (under.length < this.threads * tasksAhead) {
        const task = job.next(index);
        if (task === undefined) return;
        index += 1;
        const result = job.work(task);
        // A failure is seen when its turn comes; until then it must not count as unhandled.
        result.catch(() => undefined);
        under.push({ task, result });
      }
    };
    try {
      for (begin(); under.length > 0; begin()) {
        const { task, result } = under.shift()!;
        const value = await (rejection === undefined ? result : Promise.race([result, rejection.aborted]));
        if (!job.take(task, value)) break;
      }
    } finally {
      rejection?.forget();
    }
    await Promise.allSettled(under.map(({ result }) => result));
  }
}

/**
 * Threads that share out pure work. They are started when there is something to do, and stop by themselves after two
 * seconds without work; `close` lets them go at once. Results do not depend on the number of threads, to the digit.
 */
export const createWorkforce = ({ threads = availableParallelism() }: WorkforceOptions = {}): Workforce =>
  new Pool(Math.max(1, Math.floor(threads)));

/** A workforce for the length of one piece of work. */
export const withWorkforce = async <T>(
  options: WorkforceOptions,
  work: (force: Workforce) => Promise<T>,
): Promise<T> => {
  const force = createWorkforce(options);
  try {
    return await work(force);
  } finally {
    await force.close();
  }
};
