import { choleskyFactor } from "#numerics";

/** An exponential stem: the error at full depth, K, and the length over which it falls to 1/e, mm. */
export interface Stem {
  readonly error: number;
  readonly length: number;
  /** Weighted sum of squares that is left. */
  readonly rest: number;
  /** The length ran against the longest that is tried: the readings fall on a straight line, or bend the other way. */
  readonly unbent: boolean;
}

/** Lengths that are tried, as shares of the smallest and multiples of the largest withdrawal. */
const shortest = 1 / 12;
const longest = 3;
const rounds = 26;
const golden = (Math.sqrt(5) - 1) / 2;

/** Divides a vector by the lower triangle L: what is correlated becomes independent with unit variance. */
export const whiten = (lower: readonly (readonly number[])[], values: readonly number[]): number[] => {
  const white: number[] = [];
  for (const [row, value] of values.entries()) {
    let rest = value;
    for (let column = 0; column < row; column += 1) rest -= lower[row]![column]! * white[column]!;
    white.push(rest / lower[row]![row]!);
  }
  return white;
};

export interface StemFitter {
  fit(changes: readonly number[]): Stem;
  readonly lower: readonly (readonly number[])[];
}

/**
 * Fits change(x) = e·(exp(x/D) − 1) to withdrawals x: the temperature that a stem loses falls exponentially with the depth
 * (conduction along a fin, M. Nicholas and D. R. White, Traceable Temperatures, from memory), so the change on withdrawing
 * tells the error e that is left at full depth. For each D, e follows by weighted least squares; D by a golden section search of
 * the remaining sum of squares over log D. Null for a covariance that is none.
 */
export const stemFitter = (
  distances: readonly number[],
  covariance: readonly (readonly number[])[],
): StemFitter | null => {
  const lower = choleskyFactor(covariance);
  if (lower === undefined || lower.some((row, index) => row[index] === 0)) return null;
  const low = Math.log(Math.min(...distances) * shortest);
  const high = Math.log(Math.max(...distances) * longest);
  const at = (logLength: number, white: readonly number[]) => {
    const length = Math.exp(logLength);
    const shape = whiten(
      lower,
      distances.map((distance) => Math.expm1(distance / length)),
    );
    const square = shape.reduce((sum, value) => sum + value * value, 0);
    const error = shape.reduce((sum, value, index) => sum + value * white[index]!, 0) / square;
    const rest = white.reduce((sum, value, index) => sum + (value - error * shape[index]!) ** 2, 0);
    return { error, length, rest };
  };
  const fit = (changes: readonly number[]): Stem => {
    const white = whiten(lower, changes);
    let [a, b] = [low, high];
    let [c, d] = [b - golden * (b - a), a + golden * (b - a)];
    let [restC, restD] = [at(c, white).rest, at(d, white).rest];
    for (let round = 0; round < rounds; round += 1) {
      if (restC < restD) {
        [b, d, restD] = [d, c, restC];
        c = b - golden * (b - a);
        restC = at(c, white).rest;
      } else {
        [a, c, restC] = [c, d, restD];
        d = a + golden * (b - a);
        restD = at(d, white).rest;
      }
    }
    const best = (a + b) / 2;
    return { ...at(best, white), unbent: best > high - 0.01 };
  };
  return { fit, lower };
};
