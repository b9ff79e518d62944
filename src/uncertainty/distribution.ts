/**
 * How an input quantity may be spread about its estimate (JCGM 100:2008, 4.3; JCGM 101:2008, 6.4). The name matters to
 * Monte Carlo only: the law of propagation sees nothing but the standard uncertainty.
 */
export const distributions = ["normal", "rectangular", "triangular", "trapezoid", "u-shaped", "student"] as const;
export type Distribution = (typeof distributions)[number];

const divisors = {
  rectangular: Math.sqrt(3),
  triangular: Math.sqrt(6),
  "u-shaped": Math.SQRT2,
} as const satisfies Partial<Record<Distribution, number>>;

/**
 * Standard uncertainty of a quantity that is known to lie within ±`halfWidth` and nothing more (JCGM 100:2008, 4.3.7 and
 * 4.3.9; u-shaped: JCGM 101:2008, 6.4.6). Same unit in and out.
 */
export const standardUncertaintyOfLimits = (halfWidth: number, shape: keyof typeof divisors): number =>
  halfWidth / divisors[shape];

/** Standard uncertainty of one digit of a display: the value lies within half a digit (JCGM 100:2008, F.2.2.1). */
export const standardUncertaintyOfDigit = (digit: number): number =>
  standardUncertaintyOfLimits(digit / 2, "rectangular");
