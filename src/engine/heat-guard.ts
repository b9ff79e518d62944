import { success, type Outcome } from "#fault";
import type { BenchPort } from "./ports.ts";

/** How often a source is told to switch off before a person must do it. */
const triesToSwitchOff = 3;

/** Somebody pressed stop: who, and what the source answered. */
export interface Halt {
  readonly by: string;
  /** Null while it has not answered yet. */
  readonly answer: Outcome<null> | null;
  /** Resolves with the answer. */
  readonly off: Promise<Outcome<null>>;
}

/**
 * Takes the heat away past everything else: not behind the work in hand, not behind the journal. While a halt is open
 * nothing is sent that could heat again, and what was on its way to the source already is followed by one more "off".
 */
export class HeatGuard {
  readonly #bench: BenchPort;
  readonly #changed: () => void;
  #halt: Halt | null = null;

  constructor(bench: BenchPort, changed: () => void) {
    this.#bench = bench;
    this.#changed = changed;
  }

  get halt(): Halt | null {
    return this.#halt;
  }

  /** Switches off now. `wired`: whether the source has a wire at all. A second call joins the first. */
  take(by: string, wired: boolean): void {
    if (this.#halt !== null) return;
    const off = wired ? this.off() : Promise.resolve(success(null));
    this.#halt = { by, answer: null, off };
    void off.then((answer) => {
      if (this.#halt?.off === off) this.#halt = { ...this.#halt, answer };
      this.#changed();
    });
    this.#changed();
  }

  /** The halt is in the log and the source has answered: what a person asks for next is done again. */
  release(): void {
    this.#halt = null;
  }

  /** Tells the source to switch off, some times over where it does not answer. */
  async off(): Promise<Outcome<null>> {
    let done = await this.#bench.switchOutput(false);
    for (let tries = 1; !done.ok && tries < triesToSwitchOff; tries += 1) done = await this.#bench.switchOutput(false);
    return done;
  }

  /** Carries out what may heat, unless somebody has pressed stop meanwhile; then the source is told once more to be off. */
  async heat(work: () => Promise<Outcome<null>>): Promise<Outcome<null>> {
    if (this.#halt !== null) return success(null);
    const done = await work();
    if (this.#halt !== null) await this.off();
    return done;
  }
}
