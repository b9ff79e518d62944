import {
  pointSimulations,
  type PointSimulation,
  type PointValidation,
  type Result,
  type RunEvent,
  type ValidationSettings,
} from "#calibration";
import type { Outcome } from "#fault";
import {
  aboutCentre,
  budgetSimulation,
  SimulationRun,
  type Budget,
  type Simulated,
  type SimulationSettings,
} from "#uncertainty";
import type { Suspicion } from "#traceback";
import { createPool, type OrderedPool } from "./ordered-pool.ts";
import {
  trialsOf,
  type BlocksTask,
  type Evaluated,
  type PointTask,
  type ReassessedLog,
  type ReassessTask,
  type SimulatedProblem,
} from "./tasks.ts";

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
  /** `reassess` of `#traceback` on each run log, given as text; answers in the order of the logs. Progress counts logs. */
  reassessLogs(texts: readonly string[], suspicion: Suspicion, options?: WorkOptions): Promise<ReassessedLog[]>;
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

class Pool implements Workforce {
  readonly threads: number;
  readonly #pool: OrderedPool;
  #simulations = 0;

  constructor(threads: number | undefined) {
    this.#pool = createPool({ module: new URL("./worker.ts", import.meta.url), threads });
    this.threads = this.#pool.threads;
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
    const tell = (): void => onProgress?.({ done: validations.length, of: simulations.length });
    tell();
    // A point whole on a thread: sorting and summing its trials would hold up this thread otherwise.
    await this.#pool.inOrder<PointTask, PointValidation>(
      {
        name: "point",
        next: (index) => {
          const simulation = simulations[index];
          return simulation === undefined ? undefined : { simulation, settings };
        },
        take: (_, validation) => {
          validations.push(validation);
          tell();
          return true;
        },
      },
      signal,
    );
    return validations;
  }

  evaluateLogs(texts: readonly string[], options: WorkOptions = {}): Promise<Evaluated[]> {
    return this.#inParts<readonly string[], Evaluated>("evaluations", texts, (part) => part, options);
  }

  reassessLogs(texts: readonly string[], suspicion: Suspicion, options: WorkOptions = {}): Promise<ReassessedLog[]> {
    const task = (part: readonly string[]): ReassessTask => ({ texts: part, suspicion });
    return this.#inParts<ReassessTask, ReassessedLog>("reassessments", texts, task, options);
  }

  async close(): Promise<void> {
    await this.#pool.close();
  }

  /** Some logs at once to a thread; the answers in the order of the logs. */
  async #inParts<T, R>(
    name: string,
    texts: readonly string[],
    task: (part: readonly string[]) => T,
    { onProgress, signal }: WorkOptions,
  ): Promise<R[]> {
    const answers: R[] = [];
    await this.#pool.inOrder<T, R[]>(
      {
        name,
        next: (index) => {
          const part = texts.slice(index * logsInTask, (index + 1) * logsInTask);
          return part.length === 0 ? undefined : task(part);
        },
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
    await this.#pool.inOrder<BlocksTask, Float64Array>(
      {
        name: "blocks",
        next: (index) => {
          const first = index * blocksInTask;
          const counts = Array.from({ length: blocksInTask }, (_, block) => run.countOf(first + block)).filter(Boolean);
          return counts.length === 0 ? undefined : { simulation, problem, first, counts };
        },
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
}

/**
 * Threads that share out pure work. They are started when there is something to do, and stop by themselves after two
 * seconds without work; `close` lets them go at once. Results do not depend on the number of threads, to the digit.
 */
export const createWorkforce = ({ threads }: WorkforceOptions = {}): Workforce => new Pool(threads);

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
