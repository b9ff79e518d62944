import { BrokenLine } from "../blocks/run-lines.ts";
import { chainStart, link } from "../chain/chain.ts";
import type { EntryOf } from "../ledger/entry.ts";
import type { RecordsBreak, RecordsSource } from "./source.ts";

/** A log that is read as far as the ledger has come. */
class OpenLog {
  readonly #pages: AsyncIterator<readonly string[] | BrokenLine>;
  #page: readonly string[] = [];
  #next = 0;
  lines = 0;
  hash = chainStart;
  broken = false;

  constructor(pages: AsyncIterable<readonly string[] | BrokenLine>) {
    this.#pages = pages[Symbol.asyncIterator]();
  }

  /** The next line; null at the end, or what does not hold. */
  async line(): Promise<string | BrokenLine | null> {
    while (this.#next >= this.#page.length) {
      const { done, value } = await this.#pages.next();
      if (done === true) return null;
      if (value instanceof BrokenLine) return value;
      this.#page = value;
      this.#next = 0;
    }
    const line = this.#page[this.#next]!;
    this.#next += 1;
    this.lines += 1;
    this.hash = link(this.hash, line);
    return line;
  }

  async close(): Promise<void> {
    await this.#pages.return?.();
  }
}

/** Compares the logs with what the ledger says of them, entry by entry. */
export class LogFollower {
  readonly breaks: RecordsBreak[] = [];
  readonly #source: RecordsSource;
  readonly #take: (run: string, lines: readonly string[]) => Promise<void>;
  readonly #logs = new Map<string, OpenLog>();

  /** `take` is given the lines of each entry, once they are known to be those that it speaks of. */
  constructor(source: RecordsSource, take: (run: string, lines: readonly string[]) => Promise<void>) {
    this.#source = source;
    this.#take = take;
  }

  /** Follows a log up to the line that an entry names. */
  async follow({ number, body: { run, from, to, head } }: EntryOf<"run-events">): Promise<void> {
    const log = this.#logs.get(run) ?? new OpenLog(this.#source.lines(run));
    this.#logs.set(run, log);
    if (log.broken) return;
    const lines: string[] = [];
    while (log.lines <= to) {
      const line = await log.line();
      if (typeof line !== "string") {
        const at = log.lines;
        const reason =
          line === null
            ? `The log of run ${run} ends after ${at} lines; entry ${number} of the ledger speaks of line ${to + 1}.`
            : line.reason.replace(/^Entr(?:y|ies) /, (word) => `${word === "Entry " ? "Event" : "Events"} `);
        this.#break(log, number, run, (line?.n ?? at) + 1, reason);
        return;
      }
      lines.push(line);
    }
    if (log.lines === to + 1 && log.hash === head) {
      await this.#take(run, lines);
      return;
    }
    const where = lines.length === 1 ? `Line ${to + 1}` : `One of the lines ${from + 1} to ${to + 1}`;
    const sentence = `${where} of the log of run ${run} is not the one that entry ${number} of the ledger speaks of.`;
    this.#break(log, number, run, from + 1, sentence);
  }

  /** How far the log of a run has come, and whether it holds so far. */
  reached(run: string): { readonly lines: number; readonly hash: string } | null {
    const log = this.#logs.get(run);
    return log === undefined || log.broken ? null : log;
  }

  /** Looks for what stands behind the last line that the ledger knows, and for logs that it does not know. */
  async end(runs: readonly string[]): Promise<void> {
    for (const [run, log] of this.#logs) {
      if (!log.broken) {
        const known = log.lines;
        const more = await log.line();
        if (more !== null) {
          const reason = more instanceof BrokenLine ? ` ${more.reason}` : "";
          const sentence = `The log of run ${run} goes on behind line ${known}, the last that the ledger knows.${reason}`;
          this.#break(log, null, run, known + 1, sentence);
        }
      }
    }
    for (const run of runs) {
      if (this.#logs.has(run)) continue;
      this.breaks.push({ entry: null, run, sentence: `Run ${run} has a log, and the ledger knows nothing of it.` });
    }
  }

  async close(): Promise<void> {
    for (const log of this.#logs.values()) await log.close();
  }

  get runs(): readonly { readonly run: string; readonly lines: number; readonly holds: boolean }[] {
    return [...this.#logs].map(([run, { lines, broken }]) => ({ run, lines, holds: !broken }));
  }

  #break(log: OpenLog, entry: number | null, run: string, line: number, sentence: string): void {
    log.broken = true;
    this.breaks.push({ entry, run, line, sentence });
  }
}
