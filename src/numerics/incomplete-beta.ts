import { stirlingRemainder } from "./log-gamma.ts";

/** The regularised incomplete beta function and its complement; they sum to 1, and the small one keeps its precision. */
export interface BetaPair {
  readonly lower: number;
  readonly upper: number;
}

/** ln(1 + u) − u without cancellation, for |u| below one half. */
const log1pMinus = (u: number): number => {
  // ln(1+u) = 2·artanh(u/(2+u)); the first term of that series minus u is −u²/(2+u).
  const r = u / (2 + u);
  const square = r * r;
  let term = 2 * r * square;
  let sum = 0;
  for (let odd = 3; ; odd += 2) {
    const part = term / odd;
    sum += part;
    if (Math.abs(part) <= 1e-18 * Math.abs(sum)) break;
    term *= square;
  }
  return sum - r * u;
};

/** x^a·y^b / B(a, b) with x + y = 1, arranged so that nothing large cancels (after C. Loader's saddle-point form). */
const front = (a: number, b: number, x: number, y: number): number => {
  const total = a + b;
  const shift = x * b - y * a;
  const u = shift / a;
  const v = -shift / b;
  const exponent =
    Math.abs(u) < 0.3 && Math.abs(v) < 0.3
      ? a * log1pMinus(u) + b * log1pMinus(v)
      : a * (Math.abs(u) < 0.5 ? Math.log1p(u) : Math.log((x * total) / a)) +
        b * (Math.abs(v) < 0.5 ? Math.log1p(v) : Math.log((y * total) / b));
  const remainder = stirlingRemainder(total) - stirlingRemainder(a) - stirlingRemainder(b);
  return Math.sqrt((a / (2 * Math.PI)) * (b / total)) * Math.exp(exponent + remainder);
};

const nudged = (value: number): number => (Math.abs(value) < 1e-300 ? 1e-300 : value);

/**
 * The continued fraction of Didonato and Morris (ACM TOMS 18 (1992) 360-373, equation 9) by the modified Lentz
 * recurrence: the contracted form of Abramowitz and Stegun 26.5.8 in λ = a − (a + b)x, which stays exact when x is near 1.
 */
const fraction = (a: number, b: number, x: number, lambda: number): number => {
  let c = nudged((a / (a + 1)) * (lambda + 1));
  let d = 0;
  let value = c;
  for (let n = 1; n <= 200_000; n += 1) {
    const odd = a + 2 * n - 1;
    const numerator = ((a + n - 1) / odd) * ((a + b + n - 1) / odd) * (n * (b - n)) * (x * x);
    const denominator = n + (n * (b - n) * x) / odd + ((a + n) / (odd + 2)) * (lambda + 1 + n * (2 - x));
    d = 1 / nudged(denominator + numerator * d);
    c = nudged(denominator + numerator / c);
    const change = c * d;
    value *= change;
    // Leaves at once with what is not a number, too.
    if (!(Math.abs(change - 1) > 2e-16)) break;
  }
  return 1 / value;
};

/**
 * I_x(a, b) and its complement for a, b > 0 and x in [0, 1], where y = 1 − x is given on its own so that an x very near
 * to 1 loses nothing. Outside that, both are NaN (for x and y because a logarithm has a negative argument there). Relative
 * precision of the smaller one about 1e-14 (a, b up to 1e8).
 */
export const incompleteBetaPair = (a: number, b: number, x: number, y: number): BetaPair => {
  // Before anything else: the recurrence of Γ would count up from −1e300 for ever.
  if (!(a > 0 && b > 0)) return { lower: Number.NaN, upper: Number.NaN };
  if (x === 0) return { lower: 0, upper: 1 };
  if (y === 0) return { lower: 1, upper: 0 };
  const weight = front(a, b, x, y);
  if (x <= (a + 1) / (a + b + 2)) {
    const lower = weight * fraction(a, b, x, y * a - x * b);
    return { lower, upper: 1 - lower };
  }
  const upper = weight * fraction(b, a, y, x * b - y * a);
  return { lower: 1 - upper, upper };
};

/** The regularised incomplete beta function I_x(a, b); see `incompleteBetaPair`. */
export const incompleteBeta = (x: number, a: number, b: number): number => incompleteBetaPair(a, b, x, 1 - x).lower;
