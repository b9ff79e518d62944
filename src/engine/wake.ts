import type { AbortSignalLike } from "./ports.ts";

/** Ends a sleep early: a command has come in. */
export class Wake implements AbortSignalLike {
  readonly #listeners = new Set<() => void>();
  #aborted = false;

  get aborted(): boolean {
    return this.#aborted;
  }

  addEventListener(_type: "abort", listener: () => void): void {
    this.#listeners.add(listener);
  }

  removeEventListener(_type: "abort", listener: () => void): void {
    this.#listeners.delete(listener);
  }

  now(): void {
    this.#aborted = true;
    for (const listener of this.#listeners) listener();
    this.#listeners.clear();
  }
}
