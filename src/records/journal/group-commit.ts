/** One caller's share of a write: its answer, or why it was refused while the rest of the write went on. */
export type Share<Answer> = { readonly answer: Answer } | { readonly refused: unknown };

interface Waiting<Request, Answer> {
  readonly request: Request;
  readonly resolve: (answer: Answer) => void;
  readonly reject: (thrown: unknown) => void;
}

/**
 * Gathers what is asked for while a write is under way into the next write, so that many callers share one sync. Requests
 * are written in the order of their asking. `write` answers one share for each request; when it throws, none was written.
 */
export class GroupCommit<Request, Answer> {
  readonly #write: (requests: readonly Request[]) => Promise<readonly Share<Answer>[]>;
  #waiting: Waiting<Request, Answer>[] = [];
  #working: Promise<void> | null = null;

  constructor(write: (requests: readonly Request[]) => Promise<readonly Share<Answer>[]>) {
    this.#write = write;
  }

  add(request: Request): Promise<Answer> {
    return new Promise((resolve, reject) => {
      this.#waiting.push({ request, resolve, reject });
      this.#working ??= this.#work();
    });
  }

  /** Resolves when nothing is waiting any more. */
  async idle(): Promise<void> {
    await this.#working;
  }

  async #work(): Promise<void> {
    // Let everybody who asks in this same moment come along.
    await Promise.resolve();
    while (this.#waiting.length > 0) {
      const batch = this.#waiting;
      this.#waiting = [];
      await this.#settle(batch);
    }
    this.#working = null;
  }

  async #settle(batch: readonly Waiting<Request, Answer>[]): Promise<void> {
    try {
      const shares = await this.#write(batch.map(({ request }) => request));
      for (const [index, { resolve, reject }] of batch.entries()) {
        const share = shares[index]!;
        if ("answer" in share) resolve(share.answer);
        else reject(share.refused);
      }
    } catch (thrown) {
      for (const { reject } of batch) reject(thrown);
    }
  }
}
