import { availableParallelism } from "node:os";
import { Piscina } from "piscina";
import { Fault } from "#fault";

export interface PoolOptions {
  /** The module whose exported functions run on the threads. */
  readonly module: URL;
  /** Number of threads; the machine's where nothing is said. */
  readonly threads?: number | undefined;
}

/** Tasks made one after the other, worked on anywhere, taken in the order in which they were made. */
export interface OrderedWork<T, R> {
  /** Name of the exported function that works on a task. */
  readonly name: string;
  /** Task number `index`; undefined when there is no more. */
  next(index: number): T | undefined;
  /** Takes the result of a task; false when no more are wanted. */
  take(task: T, result: R): boolean;
}

export interface OrderedPool {
  readonly threads: number;
  /**
   * Keeps the threads busy with tasks 0, 1, 2 … and takes their results in that order, until `next` has no more or `take`
   * wants none. What was begun too much is waited for and thrown away. Rejects with the signal's reason when it is
   * aborted: what was taken before stays taken, what is under way is finished in vain.
   */
  inOrder<T, R>(work: OrderedWork<T, R>, signal?: AbortSignal): Promise<void>;
  /** Lets the threads go. Work that is under way is finished first. */
  close(): Promise<void>;
}

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

class PiscinaPool implements OrderedPool {
  readonly threads: number;
  readonly #pool: Piscina;
  #closed = false;

  constructor({ module, threads = availableParallelism() }: PoolOptions) {
    this.threads = Math.max(1, Math.floor(threads));
    this.#pool = new Piscina({
      filename: module.href,
      minThreads: 0,
      maxThreads: this.threads,
      idleTimeout: 2000,
      // The program's own flags (an --eval among them) are not for its threads.
      execArgv: ["--disable-warning=ExperimentalWarning"],
    });
  }

  async inOrder<T, R>({ name, next, take }: OrderedWork<T, R>, signal?: AbortSignal): Promise<void> {
    signal?.throwIfAborted();
    if (this.#closed) throw new Fault("internal", "This pool of threads has been closed; make another.");
    const rejection = signal === undefined ? undefined : rejectionOf(signal);
    const under: { readonly task: T; readonly result: Promise<R> }[] = [];
    let index = 0;
    const begin = (): void => {
      while (under.length < this.threads * tasksAhead) {
        const task = next(index);
        if (task === undefined) return;
        index += 1;
        const result = this.#pool.run(task, { name }) as Promise<R>;
        // A failure is seen when its turn comes; until then it must not count as unhandled.
        result.catch(() => undefined);
        under.push({ task, result });
      }
    };
    try {
      for (begin(); under.length > 0; begin()) {
        const { task, result } = under.shift()!;
        const value = await (rejection === undefined ? result : Promise.race([result, rejection.aborted]));
        if (!take(task, value)) break;
      }
    } finally {
      rejection?.forget();
    }
    await Promise.allSettled(under.map(({ result }) => result));
  }

  async close(): Promise<void> {
    this.#closed = true;
    await this.#pool.close();
  }
}

/** Threads that are started when there is something to do, and stop by themselves after two seconds without work. */
export const createPool = (options: PoolOptions): OrderedPool => new PiscinaPool(options);
