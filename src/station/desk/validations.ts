import { notValidated, type PointValidation, type Result, type RunEvent } from "#calibration";
import type { Validation } from "#contract";
import { faultValue } from "#fault";
import type { Workforce } from "#parallel";

/** One ended run's validation: under way, done, or cancelled. */
interface Entry {
  /** Line of the log that ended the run; what comes after it (cooling, notes) changes nothing. */
  readonly ended: number;
  readonly stop: AbortController;
  readonly points: Promise<readonly PointValidation[]>;
  validation: Validation;
}

const mostKept = 200;

const endOf = (log: readonly RunEvent[]): number => log.findLastIndex(({ kind }) => kind === "run-ended");

const measuredOf = (result: Result): number =>
  result.items
    .flatMap(({ passes }) => passes.flatMap(({ points }) => points))
    .filter(({ status }) => status === "measured").length;

/**
 * The validations of ended runs, worked out on threads, one run after the other. They are a function of the log alone (its own seed, the
 * same digits each time), so nothing of them is stored: what is forgotten here is worked out again when it is asked for.
 */
export class Validations {
  readonly #force: Workforce;
  readonly #entries = new Map<string, Entry>();
  #last: Promise<unknown> = Promise.resolve();
  #closed = false;

  constructor(force: Workforce) {
    this.#force = force;
  }

  /** How far the validation of a run has come; it is begun where it has not been, once the run has ended. */
  of(log: readonly RunEvent[], result: Result): Validation {
    if (result.outcome === "open") return { state: "open", done: 0, of: measuredOf(result), points: [] };
    return this.#entry(log, result).validation;
  }

  /** The whole validation; one that was cancelled says so of every point. Waits for what is under way. */
  async whole(log: readonly RunEvent[], result: Result): Promise<readonly PointValidation[]> {
    return result.outcome === "open" ? [] : this.#entry(log, result).points;
  }

  cancel(run: string): void {
    this.#entries.get(run)?.stop.abort();
  }

  /** Begins anew where it was cancelled. */
  again(log: readonly RunEvent[], result: Result): Validation {
    if (this.#entries.get(result.run)?.validation.state === "cancelled") this.#entries.delete(result.run);
    return this.of(log, result);
  }

  /** Stops what is under way. */
  async close(): Promise<void> {
    this.#closed = true;
    for (const { stop } of this.#entries.values()) stop.abort();
    await this.#last;
  }

  #entry(log: readonly RunEvent[], result: Result): Entry {
    const known = this.#entries.get(result.run);
    if (known?.ended === endOf(log)) return known;
    known?.stop.abort();
    this.#entries.delete(result.run);
    const entry = this.#begin(log, result);
    this.#entries.set(result.run, entry);
    const [oldest] = this.#entries.keys();
    if (this.#entries.size > mostKept && oldest !== undefined) this.#entries.delete(oldest);
    return entry;
  }

  #begin(log: readonly RunEvent[], result: Result): Entry {
    const stop = new AbortController();
    if (this.#closed) stop.abort();
    const of = measuredOf(result);
    const { promise, resolve } = Promise.withResolvers<readonly PointValidation[]>();
    const entry: Entry = {
      ended: endOf(log),
      stop,
      points: promise,
      validation: { state: "running", done: 0, of, points: [] },
    };
    const work = async (): Promise<void> => {
      const points = await this.#work(log, result, stop.signal, (done) => {
        entry.validation = { ...entry.validation, done };
      });
      const state = stop.signal.aborted ? "cancelled" : "done";
      entry.validation = { state, done: state === "done" ? of : entry.validation.done, of, points: [...points] };
      resolve(points);
    };
    this.#last = this.#last.then(work);
    return entry;
  }

  async #work(
    log: readonly RunEvent[],
    result: Result,
    signal: AbortSignal,
    count: (done: number) => void,
  ): Promise<PointValidation[]> {
    try {
      return await this.#force.validatePoints(
        log,
        result,
        { trials: "decisive" },
        { signal, onProgress: ({ done }) => count(done) },
      );
    } catch (thrown) {
      const fault = signal.aborted
        ? { code: "uncertainty.cancelled", message: "It was cancelled before it was made." }
        : faultValue(thrown);
      return notValidated(log, result, fault as Parameters<typeof notValidated>[2]);
    }
  }
}
