import { KeptLog, type RunEvent, type RunLog } from "#calibration";
import { Fault } from "#fault";
import { evolve } from "./evolve.ts";
import { initialState } from "./open-run.ts";
import type { EngineState } from "./state.ts";

/**
 * What a run goes on from: its state, and of its log what decisions and evaluations ask for. Filled event by event from the
 * opening on, so that a log of hours is read as a stream and never held as a whole.
 */
export class RunMemory {
  readonly #kept = new KeptLog();
  #state: EngineState | null = null;
  #last: RunEvent | null = null;

  static of(log: Iterable<RunEvent>): RunMemory {
    const memory = new RunMemory();
    for (const event of log) memory.take(event);
    return memory;
  }

  /** From pages of a log, as records give them. */
  static async from(pages: AsyncIterable<readonly RunEvent[]>): Promise<RunMemory> {
    const memory = new RunMemory();
    for await (const page of pages) for (const event of page) memory.take(event);
    return memory;
  }

  take(event: RunEvent): void {
    if (this.#state !== null) this.#state = evolve(this.#state, event);
    else if (event.kind === "run-opened") this.#state = initialState(event);
    else throw new Fault("log.invalid", "The log does not begin with the opening of a run.");
    this.note(event);
  }

  /** The same for an event that the caller's own state has taken in already. */
  note(event: RunEvent): void {
    this.#last = event;
    this.#kept.add(event);
  }

  /** The state that the events lead to. @throws Fault `log.invalid` where there was no opening */
  get state(): EngineState {
    if (this.#state === null) throw new Fault("log.invalid", "The log is empty: no run was opened in it.");
    return this.#state;
  }

  /** What was kept: every event that is no reading, and the readings that an evaluation asks for. */
  log(): RunLog {
    return this.#kept.events();
  }

  get last(): RunEvent | null {
    return this.#last;
  }

  /** Lines of the whole log. */
  get lines(): number {
    return this.#kept.lines;
  }

  /** Readings that are held in memory, of all channels. */
  get readings(): number {
    return this.#kept.readings;
  }
}
