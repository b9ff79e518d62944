/** More values than this in one cell, and the cells do not fit the values: then the ordinary sort takes over. */
const crowded = 48;

const insertionSort = (values: Float64Array, from: number, to: number): void => {
  for (let place = from + 1; place < to; place += 1) {
    const value = values[place]!;
    let before = place - 1;
    while (before >= from && values[before]! > value) {
      values[before + 1] = values[before]!;
      before -= 1;
    }
    values[before + 1] = value;
  }
};

/** Room to sort in, kept between calls. */
export class Sorter {
  #starts = new Int32Array(0);
  #copy = new Float64Array(0);

  /**
   * Sorts values into rising order, in place: each goes into one of as many equal cells as there are values, and the cells
   * are sorted by insertion. On values of one smooth distribution this takes time in proportion to their number; heavy tails,
   * many equal values and what is not finite go the ordinary way. The result is the same, NaN last.
   */
  sort(values: Float64Array): void {
    const count = values.length;
    let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    let sum = 0;
    for (let index = 0; index < count; index += 1) {
      const value = values[index]!;
      if (value < least) least = value;
      if (value > most) most = value;
      sum += value;
    }
    const scale = (count - 1) / (most - least);
    if (count < crowded || !Number.isFinite(sum) || !(scale > 0 && scale < Number.POSITIVE_INFINITY)) {
      values.sort();
      return;
    }
    if (this.#copy.length < count) {
      this.#copy = new Float64Array(count);
      this.#starts = new Int32Array(count + 1);
    }
    if (!this.#scatter(values, least, scale)) values.sort();
  }

  /** False, with the values as they were, where a cell is too crowded. */
  #scatter(values: Float64Array, least: number, scale: number): boolean {
    const count = values.length;
    const [starts, copy] = [this.#starts, this.#copy];
    starts.fill(0, 0, count + 1);
    let fullest = 0;
    for (let index = 0; index < count; index += 1) {
      const value = values[index]!;
      copy[index] = value;
      const cell = ((value - least) * scale) | 0;
      const held = starts[cell + 1]! + 1;
      starts[cell + 1] = held;
      if (held > fullest) fullest = held;
    }
    if (fullest > crowded) return false;
    for (let cell = 0; cell < count; cell += 1) starts[cell + 1]! += starts[cell]!;
    for (let index = 0; index < count; index += 1) {
      const value = copy[index]!;
      const cell = ((value - least) * scale) | 0;
      const place = starts[cell]!;
      values[place] = value;
      starts[cell] = place + 1;
    }
    // Cells are in order, and hold a few values each: one pass of insertion over all puts them right.
    insertionSort(values, 0, count);
    return true;
  }
}

/** Number of values in a sorted array that are below or at `limit`. */
export const countUpTo = (sorted: Float64Array, limit: number): number => {
  let [low, high] = [0, sorted.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sorted[middle]! <= limit) low = middle + 1;
    else high = middle;
  }
  return low;
};

/** About so many values are sorted at a time when blocks are merged: they fit a processor's nearest memory. */
const mergedAtOnce = 4096;

/**
 * Sorted blocks as one sorted array; the order of the blocks does not matter. The range is cut at quantiles of the first
 * block, and what all blocks have between two cuts is sorted together.
 */
export const mergeSorted = (blocks: readonly Float64Array[]): Float64Array => {
  const [first] = blocks;
  if (first === undefined) return new Float64Array(0);
  if (blocks.length === 1) return first;
  const all = new Float64Array(blocks.reduce((sum, { length }) => sum + length, 0));
  const stretches = Math.max(1, Math.min(Math.floor(all.length / mergedAtOnce), first.length));
  const taken = new Int32Array(blocks.length);
  const sorter = new Sorter();
  let place = 0;
  for (let stretch = 1; stretch <= stretches; stretch += 1) {
    const from = place;
    const cut = first[Math.floor((stretch * first.length) / stretches) - 1]!;
    for (const [index, block] of blocks.entries()) {
      const start = taken[index]!;
      const end = stretch === stretches ? block.length : start + countUpTo(block.subarray(start), cut);
      all.set(block.subarray(start, end), place);
      place += end - start;
      taken[index] = end;
    }
    sorter.sort(all.subarray(from, place));
  }
  return all;
};
