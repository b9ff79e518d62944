import { seededGenerator } from "#numerics";
import { whiten, type Stem, type StemFitter } from "./stem-model.ts";

/** What a pull test says of the error at full depth. */
export type StemError =
  | {
      readonly kind: "determined";
      /** K, and the half of its 95.45 % interval that is longer. */
      readonly error: number;
      readonly u: number;
      readonly U: number;
      /** mm */
      readonly length: number;
      readonly lengthInterval: readonly [number, number];
    }
  /** The withdrawals changed nothing that the test could see. */
  | { readonly kind: "not-seen" }
  /** Noise hides how the change bends. */
  | { readonly kind: "drowned"; readonly share: number }
  /** The changes are no exponential, whatever the noise. */
  | { readonly kind: "misfit"; readonly chiSquare: number; readonly freedom: number };

const draws = 1000;

/** Share of draws without an exponential from which noise is said to hide it. */
const drownedFrom = 0.0455;

/** Sum of squares for one degree of freedom and more, beyond which a fit is refused: 99 % points of χ² (tables, from memory). */
const refusedFrom = [0, 6.63, 9.21, 11.34, 13.28, 15.09, 16.81] as const;

/** Sum of squares of so many changes up to which chance explains them all: 95.45 % points of χ² (tables, from memory). */
const unseenUpTo = [0, 4, 6.18, 8.02, 9.72, 11.31, 12.85] as const;

const quantile = (sorted: Float64Array, share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.max(0, Math.round(share * (sorted.length - 1))))]!;

/** Level of the interval's ends. */
const tail = 0.02275;

/**
 * The error at full depth with its uncertainty by drawing the changes from their covariance and fitting each draw (propagation of
 * distributions, JCGM 101:2008, 5.9 and 7.7; the model is far from linear). The seed is fixed: the same document gives the same
 * digits. `changes` and the covariance inside `fitter` belong together.
 */
export const stemError = (fitter: StemFitter, changes: readonly number[], k: number): StemError => {
  const size = changes.length;
  const square = whiten(fitter.lower, changes).reduce((sum, value) => sum + value * value, 0);
  if (square <= unseenUpTo[Math.min(size, unseenUpTo.length - 1)]! * (k / 2) ** 2) return { kind: "not-seen" };
  const best: Stem = fitter.fit(changes);
  const freedom = size - 2;
  const limit = refusedFrom[Math.min(freedom, refusedFrom.length - 1)]!;
  if (freedom > 0 && best.rest > limit) return { kind: "misfit", chiSquare: best.rest, freedom };
  // Two withdrawals leave no degree of freedom, but an exponential bends upwards; these do not.
  if (freedom === 0 && best.unbent && best.rest > refusedFrom[1])
    return { kind: "misfit", chiSquare: best.rest, freedom: 1 };
  const generator = seededGenerator(1);
  const errors = new Float64Array(draws);
  const lengths = new Float64Array(draws);
  let lost = 0;
  for (let draw = 0; draw < draws; draw += 1) {
    const normal = changes.map(() => generator.normal());
    const drawn = changes.map((change, row) => {
      let value = change;
      for (let column = 0; column <= row; column += 1) value += fitter.lower[row]![column]! * normal[column]! * (k / 2);
      return value;
    });
    const one = fitter.fit(drawn);
    if (one.unbent || Math.sign(one.error) !== Math.sign(best.error)) lost += 1;
    errors[draw] = one.error;
    lengths[draw] = one.length;
  }
  if (best.unbent || lost > drownedFrom * draws) return { kind: "drowned", share: lost / draws };
  errors.sort();
  lengths.sort();
  const U = Math.max(best.error - quantile(errors, tail), quantile(errors, 1 - tail) - best.error);
  return {
    kind: "determined",
    error: best.error,
    u: U / 2,
    U,
    length: best.length,
    lengthInterval: [quantile(lengths, tail), quantile(lengths, 1 - tail)],
  };
};
