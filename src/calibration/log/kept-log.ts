import type { RunEvent, RunEventOf, RunOpened } from "./events.ts";

/**
 * A log, or what was kept of one: in a thinned log every event but readings stands with its number, and those readings
 * that an evaluation asks for. A copy of a thinned log by spreading is a log with gaps, and is refused.
 */
export type RunLog = readonly RunEvent[] & { readonly thinned?: boolean };

type Block = RunEventOf<"readings-taken">;

interface Span {
  readonly from: number;
  readonly to: number;
}

/** So long readings are kept in any case, s: what is under way is looked at, and a contact's change is known only later. */
const recent = 300;
/** Around a window so many intervals are kept: pairs are interpolated over its ends. */
const beyondEnds = 5;
/** On each side of a change on a ramp the reference is asked for, s; its rate before it over so much more. */
const aroundChange = 90;
const rateWindow = 120;

/** Name of the window that is read by hand; no item's, for it has a space. A pause that a person asked for does not break it off. */
const byHand = "by hand";

/**
 * What an evaluation can ask of a log, kept while the run goes on: every event that is no reading, the windows that were
 * measured with what lies around them, the first reading of the reference on each way, and the latest minutes. However long
 * the run, it grows with its points and not with its readings. The events must come in the order of the run, as the engine
 * writes them. `evaluate`, `explain` and the diagnosis give the same digits of it as of the whole log.
 */
export class KeptLog {
  readonly #events: RunEvent[] = [];
  /** Blocks whose fate is open, the oldest first. */
  #waiting: Block[] = [];
  readonly #spans: Span[] = [];
  /** Since when readings may belong to a window that is not closed yet, by item; `check` for the closing check. */
  readonly #open = new Map<string, number>();
  #reference: string | null = null;
  /** When the present set point was commanded, until the reference's first reading after that has come. */
  #commanded: number | null = null;
  #recent = recent;
  #around = 0;
  #lines = 0;

  /** Number of lines of the whole log. */
  get lines(): number {
    return this.#lines;
  }

  /** Number of readings that are held, of all channels. */
  get readings(): number {
    return [...this.#events, ...this.#waiting].reduce(
      (sum, event) => sum + (event.kind === "readings-taken" ? event.times.length : 0),
      0,
    );
  }

  add(event: RunEvent): void {
    this.#lines += 1;
    if (event.kind === "readings-taken") this.#take(event);
    else {
      this.#events.push(event);
      this.#note(event);
    }
  }

  /** The kept events in the order of their numbers. */
  events(): RunLog {
    const merged = [...this.#events, ...this.#waiting].sort((a, b) => a.n - b.n);
    return Object.assign(merged, { thinned: true });
  }

  #take(block: Block): void {
    // What a person typed is little, and may be withdrawn much later.
    if (this.#isFirst(block) || block.by !== undefined) this.#events.push(block);
    else this.#waiting.push(block);
    const until = this.#waiting.findIndex(({ at }) => at >= block.at - this.#recent);
    if (until <= 0) return;
    // What may belong to an open window goes on waiting as a whole, whatever closed window it lies in too.
    const opened = Math.min(...this.#open.values()) - this.#around;
    const waiting: Block[] = [];
    for (const aged of this.#waiting.slice(0, until)) {
      if (aged.times.at(-1)! >= opened) waiting.push(aged);
      else {
        const wanted = this.#wanted(aged);
        if (wanted !== null) this.#events.push(wanted);
      }
    }
    this.#waiting = [...waiting, ...this.#waiting.slice(until)];
  }

  /** Whether it holds the reference's first reading since the set point was commanded. */
  #isFirst({ channel, times }: Block): boolean {
    if (this.#commanded === null || channel !== this.#reference || times.at(-1)! < this.#commanded) return false;
    this.#commanded = null;
    return true;
  }

  /** The block with those readings alone that lie in a window or around it; null where none does. */
  #wanted(block: Block): Block | null {
    const [first, last] = [block.times[0]!, block.times.at(-1)!];
    const near = this.#spans.filter(({ from, to }) => last >= from && first <= to);
    if (near.length === 0) return null;
    const inside = block.times.map((time) => near.some(({ from, to }) => time >= from && time <= to));
    if (inside.every(Boolean)) return block;
    if (!inside.some(Boolean)) return null;
    const { times, values, wire } = block;
    const only = <T>(column: readonly T[]): T[] => column.filter((_, index) => inside[index]);
    return { ...block, times: only(times), values: only(values), ...(wire === undefined ? {} : { wire: only(wire) }) };
  }

  #span(from: number, to: number): void {
    this.#spans.push({ from: from - this.#around, to: to + this.#around });
  }

  #opened({ job: { kit, procedure } }: RunOpened): void {
    this.#reference = kit.reference.channel;
    this.#around = beyondEnds * procedure.readings.interval;
    this.#recent = recent + 3 * procedure.readings.interval + (procedure.ramp?.hold ?? 0);
  }

  /** A reading at the very moment of the command may stand before it in the log. */
  #sent(at: number): void {
    this.#open.clear();
    this.#commanded = at;
    const first = this.#waiting.findIndex((block) => this.#isFirst(block));
    if (first >= 0) this.#events.push(...this.#waiting.splice(first, 1));
  }

  #note(event: RunEvent): void {
    switch (event.kind) {
      case "run-opened":
        return this.#opened(event);
      case "kit-replaced":
        this.#reference = event.reference?.channel ?? this.#reference;
        return this.#open.clear();
      case "set-point-commanded":
        return this.#sent(event.at);
      case "point-skipped":
        return this.#open.clear();
      case "point-settled":
        return this.#begin(event.item, event.at);
      case "check-settled":
        return this.#begin("check", event.at);
      case "reading-asked":
        // A window of readings by hand is known only at its end: it may begin with the first round.
        return this.#begin(byHand, event.at);
      case "point-measured":
        if (event.item === undefined) this.#open.clear();
        else this.#open.delete(event.item);
        return this.#span(event.from, event.to);
      case "check-measured":
        this.#open.delete("check");
        return this.#span(event.from, event.to);
      case "contact-changed":
        return this.#span(event.from - rateWindow - aroundChange, event.to + aroundChange);
      case "run-paused":
        // What was read of a window that was broken off belongs to none; it begins anew when the run goes on.
        return this.#restart(Number.POSITIVE_INFINITY);
      case "run-resumed":
        return this.#restart(event.at);
      default:
    }
  }

  #begin(window: string, at: number): void {
    this.#open.set(window, Math.min(this.#open.get(window) ?? at, at));
  }

  #restart(at: number): void {
    for (const window of this.#open.keys()) if (window !== byHand) this.#open.set(window, at);
  }
}
