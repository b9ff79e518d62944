import { findRoot } from "#numerics";
import { ambiguous, outside, type Interval } from "./conversion.ts";
import type { PolynomialPiece } from "./polynomial-piece.ts";

/** A part of one piece on which the curve only rises or only falls, with a table of starts for its inverse. */
class Branch {
  readonly lower: number;
  readonly upper: number;
  readonly atLower: number;
  readonly atUpper: number;
  readonly direction: 1 | -1;
  readonly #piece: PolynomialPiece;
  #perSignal = 0;
  #starts = new Float64Array(0);
  #steps = new Float64Array(0);

  constructor(piece: PolynomialPiece, lower: number, upper: number) {
    this.#piece = piece;
    this.lower = lower;
    this.upper = upper;
    this.atLower = piece.value(lower);
    this.atUpper = piece.value(upper);
    this.direction = this.atUpper > this.atLower ? 1 : -1;
  }

  /** The t of a signal that lies between the branch's ends. */
  solve(signal: number): number {
    if (this.#perSignal === 0) this.#tabulate();
    const position = (signal - this.atLower) * this.#perSignal;
    const cell = Math.min(cells - 1, Math.max(0, Math.floor(position)));
    const share = position - cell;
    const low = this.#starts[cell]!;
    const high = this.#starts[cell + 1]!;
    const start = hermite(share, low, high, this.#steps[cell]!, this.#steps[cell + 1]!);
    return this.#piece.solve(signal, this.direction, start, low, high);
  }

  /** Exact inverses at evenly spaced signals: between them a cubic is so near that one or two Newton steps are enough. */
  #tabulate(): void {
    const starts = new Float64Array(cells + 1);
    const steps = new Float64Array(cells + 1);
    const step = (this.atUpper - this.atLower) / cells;
    starts[0] = this.lower;
    starts[cells] = this.upper;
    for (let index = 1; index < cells; index += 1) {
      const from = starts[index - 1]!;
      const guess = from + step / this.#piece.slope(from);
      const start = guess > from && guess < this.upper ? guess : (from + this.upper) / 2;
      starts[index] = this.#piece.solve(this.atLower + index * step, this.direction, start, from, this.upper);
    }
    for (let index = 0; index <= cells; index += 1) {
      const before = index === 0 ? Number.POSITIVE_INFINITY : starts[index]! - starts[index - 1]!;
      const after = index === cells ? Number.POSITIVE_INFINITY : starts[index + 1]! - starts[index]!;
      // Three times the smaller secant keeps a cubic monotonic (Fritsch and Carlson 1980), hence inside its cell.
      const steepest = 3 * Math.min(before, after);
      const exact = step / this.#piece.slope(starts[index]!);
      steps[index] = exact >= 0 && exact < steepest ? exact : steepest;
    }
    this.#starts = starts;
    this.#steps = steps;
    this.#perSignal = 1 / step;
  }
}

const cells = 256;

const hermite = (share: number, low: number, high: number, lowStep: number, highStep: number): number => {
  const rise = high - low;
  const rest = 1 - share;
  return low + share * (share * (3 - 2 * share) * rise + rest * (rest * lowStep - share * highStep));
};

/** Joined branches that go the same way: a stretch of the curve on which each signal has one temperature. */
interface Stretch {
  readonly branches: readonly Branch[];
  readonly direction: 1 | -1;
  readonly lowest: number;
  readonly highest: number;
}

const scanPoints = 96;

/** Where a piece turns round: sign changes of its slope on a grid, zeros on the grid itself, and dips between grid points chased to their bottom. */
const turningPoints = (piece: PolynomialPiece): number[] => {
  const width = piece.upper - piece.lower;
  const at = (index: number): number =>
    index === scanPoints ? piece.upper : piece.lower + (width * index) / scanPoints;
  const slopes = Array.from({ length: scanPoints + 1 }, (_, index) => piece.slope(at(index)));
  const found: number[] = [];
  const search = (from: number, to: number): void => {
    const root = findRoot((t) => piece.slope(t), from, to);
    if (root !== undefined && root > piece.lower && root < piece.upper) found.push(root);
  };
  for (let index = 0; index < scanPoints; index += 1) {
    if (slopes[index]! * slopes[index + 1]! < 0) search(at(index), at(index + 1));
    const [before, here, after] = [slopes[index - 1], slopes[index]!, slopes[index + 1]!];
    if (before !== undefined && here === 0 && before * after < 0) found.push(at(index));
    if (before === undefined || before * here <= 0 || here * after <= 0) continue;
    if (Math.abs(here) >= Math.abs(before) || Math.abs(here) > Math.abs(after)) continue;
    const bottom = lowestOf(
      (t) => Math.abs(piece.slope(t)) * Math.sign(piece.slope(t) * here),
      at(index - 1),
      at(index + 1),
    );
    if (piece.slope(bottom) * here < 0) {
      search(at(index - 1), bottom);
      search(bottom, at(index + 1));
    }
  }
  return found.sort((a, b) => a - b);
};

/** Golden-section search for the smallest value between two points. */
const lowestOf = (f: (x: number) => number, from: number, to: number): number => {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [from, to];
  for (let round = 0; round < 60; round += 1) {
    const left = high - golden * (high - low);
    const right = low + golden * (high - low);
    if (f(left) < f(right)) high = right;
    else low = left;
  }
  return (low + high) / 2;
};

/**
 * A curve of joined pieces and its exact inverse.
 *
 * Published pieces do not meet to the last digit. Where the upper one starts higher, signals in the gap belong to the
 * seam itself; where it starts lower, signals in the overlap belong to the lower piece. Either is less than 20 µK wide in
 * every published function.
 */
export class Curve {
  readonly temperatures: Interval;
  readonly signals: Interval;
  /** False when a value or slope somewhere on the curve is not a finite number. */
  readonly isFinite: boolean;
  readonly #pieces: readonly PolynomialPiece[];
  readonly #stretches: readonly Stretch[];
  readonly #slack: number;

  constructor(pieces: readonly PolynomialPiece[]) {
    this.#pieces = pieces;
    this.temperatures = { lower: pieces[0]!.lower, upper: pieces.at(-1)!.upper };
    const branches = pieces.flatMap((piece) => {
      const cuts = [piece.lower, ...turningPoints(piece), piece.upper];
      return cuts.slice(1).map((upper, index) => new Branch(piece, cuts[index]!, upper));
    });
    this.#stretches = stretchesOf(branches);
    this.signals = {
      lower: Math.min(...this.#stretches.map((stretch) => stretch.lowest)),
      upper: Math.max(...this.#stretches.map((stretch) => stretch.highest)),
    };
    this.isFinite = Number.isFinite(this.signals.lower + this.signals.upper) && pieces.every(hasFiniteSlope);
    this.#slack = 16 * Number.EPSILON * Math.max(Math.abs(this.signals.lower), Math.abs(this.signals.upper));
  }

  /** True when the curve only rises. */
  get rises(): boolean {
    return this.#stretches.length === 1 && this.#stretches[0]!.direction === 1;
  }

  /** The stretch that holds a temperature, as its range. */
  stretchAround(temperature: number): (Interval & { readonly direction: 1 | -1 }) | undefined {
    for (const { branches, direction } of this.#stretches) {
      const [lower, upper] = [branches[0]!.lower, branches.at(-1)!.upper];
      if (temperature >= lower && temperature <= upper) return { lower, upper, direction };
    }
    return undefined;
  }

  value(t: number): number {
    return this.#pieceAt(t).value(t);
  }

  slope(t: number): number {
    return this.#pieceAt(t).slope(t);
  }

  /** The one t of a signal; `outside` where there is none, `ambiguous` where there are several. */
  solve(signal: number): number {
    let answer = outside;
    for (let index = 0; index < this.#stretches.length; index += 1) {
      const stretch = this.#stretches[index]!;
      if (signal < stretch.lowest - this.#slack || signal > stretch.highest + this.#slack) continue;
      if (answer !== outside) return ambiguous;
      answer = solveStretch(stretch, signal);
    }
    return answer;
  }

  /** Every t of a signal, in rising order. */
  candidates(signal: number): number[] {
    return this.#stretches
      .filter(({ lowest, highest }) => signal >= lowest - this.#slack && signal <= highest + this.#slack)
      .map((stretch) => solveStretch(stretch, signal));
  }

  #pieceAt(t: number): PolynomialPiece {
    const pieces = this.#pieces;
    let index = 0;
    while (index < pieces.length - 1 && t > pieces[index]!.upper) index += 1;
    return pieces[index]!;
  }
}

const hasFiniteSlope = (piece: PolynomialPiece): boolean =>
  [piece.lower, (piece.lower + piece.upper) / 2, piece.upper].every((t) => Number.isFinite(piece.slope(t)));

const stretchesOf = (branches: readonly Branch[]): Stretch[] => {
  const groups: Branch[][] = [];
  for (const branch of branches) {
    const group = groups.at(-1);
    if (group !== undefined && group[0]!.direction === branch.direction) group.push(branch);
    else groups.push([branch]);
  }
  return groups.map((group) => {
    const ends = [group[0]!.atLower, group.at(-1)!.atUpper];
    return {
      branches: group,
      direction: group[0]!.direction,
      lowest: Math.min(...ends),
      highest: Math.max(...ends),
    };
  });
};

const solveStretch = ({ branches, direction }: Stretch, signal: number): number => {
  let index = 0;
  while (index < branches.length - 1 && (signal - branches[index]!.atUpper) * direction > 0) index += 1;
  const branch = branches[index]!;
  if ((signal - branch.atLower) * direction <= 0) return branch.lower;
  if ((signal - branch.atUpper) * direction >= 0) return branch.upper;
  return branch.solve(signal);
};
