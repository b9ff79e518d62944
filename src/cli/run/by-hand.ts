import type { Clock, EngineView, RunCommand, Runner } from "#engine";
import type { FaultValue } from "#fault";
import { wantedOfPerson, wishText, type WantedOfPerson } from "./wanted-of-person.ts";

export interface ByHandOptions {
  /** Asks a person; null when nobody answers. Given up when the signal is aborted: the run wants something else now. */
  readonly ask: (wanted: WantedOfPerson, view: EngineView, signal: AbortSignal) => Promise<RunCommand | null>;
  /** Tells why an answer was not taken. */
  readonly refused: (fault: FaultValue) => void;
}

type AbortSignalLike = Parameters<Clock["sleepUntil"]>[1];

/** What a run wants of the hands of a person, asked one after the other while the run goes on. */
export class ByHand {
  readonly #options: ByHandOptions;
  #wish: string | null = null;
  #asking: AbortController | null = null;
  #over = false;
  #free: (() => void)[] = [];
  #end!: { resolve: () => void; reject: (cause: unknown) => void };
  /** Resolves once somebody was wanted and nobody answered; rejects where an answer could not be read. */
  readonly nobody: Promise<void>;

  constructor(options: ByHandOptions) {
    this.#options = options;
    this.nobody = new Promise((resolve, reject) => {
      this.#end = { resolve, reject };
    });
    this.nobody.catch(() => undefined);
  }

  /** Looks at what the run shows; `busy`: somebody else is giving it a command. */
  note(view: EngineView, runner: Runner, busy: boolean): void {
    const wanted = busy || this.#over ? null : wantedOfPerson(view);
    const wish = wanted === null ? null : wishText(view);
    if (wish === this.#wish) return;
    this.#asking?.abort();
    this.#asking = null;
    this.#wish = wish;
    if (wanted === null) this.#release();
    else void this.#askFor(wanted, view, runner).catch((cause: unknown) => this.#end.reject(cause));
  }

  close(): void {
    this.#over = true;
    this.#asking?.abort();
    this.#release();
  }

  /** A clock that stands still while a person is asked: time that is invented does not run away from who types. */
  held(clock: Clock): Clock {
    return {
      now: () => clock.now(),
      sleepUntil: async (at, signal) => {
        if (this.#wish !== null && !this.#over) await this.#released(signal);
        if (signal?.aborted !== true) await clock.sleepUntil(at, signal);
      },
    };
  }

  async #askFor(wanted: WantedOfPerson, view: EngineView, runner: Runner): Promise<void> {
    const asking = new AbortController();
    this.#asking = asking;
    const command = await this.#options.ask(wanted, view, asking.signal);
    if (asking.signal.aborted) return;
    if (command === null) {
      this.close();
      this.#end.resolve();
      return;
    }
    const answer = await runner.command(command);
    if (!answer.ok) this.#options.refused(answer.fault);
    if (asking.signal.aborted) return;
    // It was refused, or nothing changed by it: asked again.
    this.#wish = null;
    this.note(runner.view(), runner, false);
  }

  #released(signal: AbortSignalLike): Promise<void> {
    return new Promise((resolve) => {
      this.#free.push(resolve);
      signal?.addEventListener("abort", resolve);
    });
  }

  #release(): void {
    const waiting = this.#free;
    this.#free = [];
    for (const resolve of waiting) resolve();
  }
}
