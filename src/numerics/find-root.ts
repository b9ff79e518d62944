export interface RootOptions {
  /** Half-width of x at which the search stops; the spacing of doubles where nothing is said. */
  readonly tolerance?: number;
  readonly maximumRounds?: number;
}

/**
 * The x between `low` and `high` at which f changes sign, found by inverse quadratic interpolation where that is safe and
 * by halving where it is not (T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149).
 * An end that is a root is returned. Undefined when the ends do not enclose a change of sign, or when f is not a number.
 */
export const findRoot = (
  f: (x: number) => number,
  low: number,
  high: number,
  options: RootOptions = {},
): number | undefined => {
  const { tolerance = 0, maximumRounds = 200 } = options;
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!(Math.sign(fa) * Math.sign(fb) < 0)) return undefined;
  let c = a;
  let fc = fa;
  let share = 0.5;
  for (let round = 0; round < maximumRounds; round += 1) {
    const x = a + share * (b - a);
    const fx = f(x);
    if (Number.isNaN(fx)) return undefined;
    if (Math.sign(fx) === Math.sign(fa)) {
      c = a;
      fc = fa;
    } else {
      c = b;
      fc = fb;
      b = a;
      fb = fa;
    }
    a = x;
    fa = fx;
    const best = Math.abs(fa) < Math.abs(fb) ? a : b;
    if (fa === 0) return a;
    const least = 2 * Number.EPSILON * Math.abs(best) + 0.5 * tolerance + Number.MIN_VALUE;
    const floor = least / Math.abs(b - a);
    if (floor > 0.5) return best;
    const xi = (a - b) / (c - b);
    const phi = (fa - fb) / (fc - fb);
    const smooth = phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi;
    const wanted = smooth
      ? (fa / (fb - fa)) * (fc / (fb - fc)) + ((c - a) / (b - a)) * (fa / (fc - fa)) * (fb / (fc - fb))
      : 0.5;
    share = Math.min(1 - floor, Math.max(floor, wanted));
  }
  return Math.abs(fa) < Math.abs(fb) ? a : b;
};
