import { coverageFactor, usualLevel } from "#uncertainty";

/** A value found with its uncertainty, and the limit that a budget takes from it; K. */
export interface Expanded {
  readonly value: number;
  readonly u: number;
  readonly dof: number;
  readonly k: number;
  readonly U: number;
}

/** The value with U at 95.45 % (JCGM 100:2008, G.6.4). Degrees of freedom that are infinite are stated as 10⁶. */
export const expanded = (value: number, u: number, dof: number): Expanded => {
  const counted = Math.min(dof, 1e6);
  const k = coverageFactor(usualLevel, counted);
  return { value, u, dof: counted, k, U: k * u };
};

/** Rounds up to two significant digits: a limit that a budget takes must not be rounded below what was found. */
export const roundedUp = (limit: number): number => {
  if (!(limit > 0)) return 0;
  const place = 10 ** (Math.floor(Math.log10(limit)) - 1);
  // What misses a step by rounding error only is on it.
  return Number((Math.ceil(limit / place - 1e-9) * place).toPrecision(2));
};

/**
 * The limit ±a for the budget: what was seen and what may have hidden in the test's own uncertainty, |value| + U (rule K5). A
 * test with much noise so gives a wide limit, never a flattering one.
 */
export const limitOf = ({ value, U }: Pick<Expanded, "value" | "U">): number => roundedUp(Math.abs(value) + U);
