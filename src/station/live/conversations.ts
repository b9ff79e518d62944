import { Fault } from "#fault";
import { samePlace } from "#instruments";

/** Why a conversation is ended by somebody else. */
export type EndedBy =
  | { readonly by: "run"; readonly run: string }
  | { readonly by: "job"; readonly job: string }
  | { readonly by: "page" }
  | { readonly by: "station" };

interface Holder {
  readonly at: string;
  /** Whether it makes room for another question of the same page; a short one is waited for instead. */
  readonly yields: boolean;
  readonly stop: AbortController;
  readonly gone: Promise<void>;
}

export interface RunInstruments {
  readonly run: string;
  readonly addresses: readonly string[];
}

/**
 * Who talks over which line, outside runs: one conversation at a time at each place, none at a place that a run has. A run
 * that begins breaks off what goes on at its instruments and waits until they are free.
 */
export class Conversations {
  readonly #runs: () => readonly RunInstruments[];
  readonly #holders = new Set<Holder>();
  #closed = false;

  constructor(runs: () => readonly RunInstruments[]) {
    this.#runs = runs;
  }

  /** The run that has the instrument at an address. */
  usedBy(at: string): string | null {
    const user = this.#runs().find(({ addresses }) => addresses.some((taken) => samePlace(taken, at)));
    return user?.run ?? null;
  }

  /**
   * Does some work while nobody else talks at the address. The signal of the work says when it has to end, with an
   * `EndedBy` as its reason. Throws `run.not-allowed` where a run has the instrument.
   */
  async hold<T>(at: string, yields: boolean, work: (signal: AbortSignal) => Promise<T>): Promise<T> {
    for (;;) {
      this.refuse(at);
      const holder = [...this.#holders].find((each) => samePlace(each.at, at));
      if (holder === undefined) break;
      if (holder.yields) holder.stop.abort({ by: "page" } satisfies EndedBy);
      await holder.gone;
    }
    const stop = new AbortController();
    // The set is entered before anything is awaited, so that no two find the place empty.
    let free = (): void => undefined;
    const gone = new Promise<void>((resolve) => {
      free = resolve;
    });
    const holder: Holder = { at, yields, stop, gone };
    this.#holders.add(holder);
    try {
      return await work(stop.signal);
    } finally {
      this.#holders.delete(holder);
      free();
    }
  }

  /** Breaks off whatever goes on at these addresses; resolves when they are free. */
  async makeRoom(why: EndedBy, addresses: readonly string[]): Promise<void> {
    await this.#end(why, (holder) => addresses.some((at) => samePlace(at, holder.at)));
  }

  async close(): Promise<void> {
    this.#closed = true;
    await this.#end({ by: "station" }, () => true);
  }

  async #end(why: EndedBy, which: (holder: Holder) => boolean): Promise<void> {
    const ended = [...this.#holders].filter(which);
    for (const { stop } of ended) stop.abort(why);
    await Promise.all(ended.map(({ gone }) => gone));
  }

  /** Throws `run.not-allowed` where nobody may talk at an address now. */
  refuse(at: string): void {
    if (this.#closed) throw new Fault("run.not-allowed", "The station is being stopped. Start it again, then try.");
    const run = this.usedBy(at);
    if (run === null) return;
    throw new Fault(
      "run.not-allowed",
      `${at} is in use by run ${run}; nothing else may talk there until it has let its instruments go (an ended run watches its source cool first). What it reads is on the page of its job; wait for it, or try another address.`,
      { data: { at, run } },
    );
  }
}
