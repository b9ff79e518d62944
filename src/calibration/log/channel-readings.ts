import { Fault } from "#fault";
import type { ChannelUnit } from "#quantity";
import type { RunEventOf } from "./events.ts";

type Block = RunEventOf<"readings-taken">;

/** All readings of one channel in order of time, in columns: an hour at 1 Hz is an array, not an hour of objects. */
export class ChannelReadings {
  readonly unit: ChannelUnit;
  readonly times: Float64Array;
  readonly values: Float64Array;
  /** 1 where the reading was rejected. */
  readonly rejected: Uint8Array;
  readonly #blocks: readonly Block[];
  readonly #block: Int32Array;
  readonly #place: Int32Array;

  constructor(blocks: readonly Block[]) {
    const length = blocks.reduce((sum, block) => sum + block.times.length, 0);
    this.unit = blocks[0]!.unit;
    this.times = new Float64Array(length);
    this.values = new Float64Array(length);
    this.rejected = new Uint8Array(length);
    this.#blocks = blocks;
    this.#block = new Int32Array(length);
    this.#place = new Int32Array(length);
    let sorted = true;
    let at = 0;
    for (const [index, block] of blocks.entries()) {
      if (block.unit !== this.unit) {
        throw new Fault(
          "log.invalid",
          `Line ${block.n + 1} of the log: channel ${block.channel} is read in ${block.unit}, before in ${this.unit}.`,
          {
            data: { line: block.n + 1, channel: block.channel },
          },
        );
      }
      for (let place = 0; place < block.times.length; place += 1) {
        this.times[at] = block.times[place]!;
        this.values[at] = block.values[place]!;
        this.#block[at] = index;
        this.#place[at] = place;
        if (at > 0 && this.times[at]! < this.times[at - 1]!) sorted = false;
        at += 1;
      }
    }
    if (!sorted) this.#sort();
  }

  get length(): number {
    return this.times.length;
  }

  /** Index of the first reading at `time` or later; the number of readings when there is none. */
  firstFrom(time: number): number {
    let low = 0;
    let high = this.times.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.times[middle]! < time) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** Number of the log line that holds the reading. */
  eventOf(index: number): number {
    return this.#blocks[this.#block[index]!]!.n;
  }

  /** The digits as they came over the wire, where there was one. */
  wireOf(index: number): string | undefined {
    return this.#blocks[this.#block[index]!]!.wire?.[this.#place[index]!];
  }

  /** Marks the reading that was taken at `time`; false when there is none. Times within a microsecond are the same. */
  reject(time: number): boolean {
    let found = false;
    for (
      let index = this.firstFrom(time - 1e-6);
      index < this.length && this.times[index]! <= time + 1e-6;
      index += 1
    ) {
      this.rejected[index] = 1;
      found = true;
    }
    return found;
  }

  #sort(): void {
    const order = Array.from({ length: this.length }, (_, index) => index).sort(
      (a, b) => this.times[a]! - this.times[b]! || a - b,
    );
    for (const column of [this.times, this.values, this.#block, this.#place]) {
      const copy = column.slice();
      for (const [index, from] of order.entries()) column[index] = copy[from]!;
    }
  }
}
