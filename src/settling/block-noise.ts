import type { Block } from "./block.ts";

interface Mean {
  readonly time: number;
  readonly difference: number;
}

/** What is left of a series once its smooth course was taken out. */
export interface Scatter {
  /** Of one mean, K². */
  readonly scatter: number;
  /** By how much autocorrelation widens it: (1 + ρ)/(1 − ρ). */
  readonly inflation: number;
}

/** Time constant of a source's landing that is taken out of the reference, s. */
const landing = 25;
/** Latest blocks among which the scatter from block to block is looked at. */
const lookedAt = 40;

/**
 * Scatter of some means about a straight line and a bend: a parabola, or, for a reference that may still be landing, a
 * decay. The sample autocorrelation is biased low by about 2/n there, which is added back.
 */
export const scatterOf = (means: readonly Mean[], bend: "parabola" | "landing"): Scatter => {
  const n = means.length;
  const start = means[0]!.time;
  const span = means[n - 1]!.time - start;
  const shapes: readonly ((age: number) => number)[] = [
    () => 1,
    (age) => age / span - 0.5,
    (age) => (bend === "parabola" ? (age / span - 0.5) ** 2 : Math.exp(-age / landing)),
  ];
  const dot = (a: readonly number[], b: readonly number[]): number =>
    a.reduce((sum, value, index) => sum + value * b[index]!, 0);
  const without = (values: readonly number[], bases: readonly (readonly number[])[]): readonly number[] =>
    bases.reduce<readonly number[]>((rest, base) => {
      const share = dot(rest, base);
      return rest.map((value, index) => value - share * base[index]!);
    }, values);
  // Orthonormal shapes, by Gram and Schmidt.
  const bases: (readonly number[])[] = [];
  for (const shape of shapes) {
    const rest = without(
      means.map(({ time }) => shape(time - start)),
      bases,
    );
    const length = Math.sqrt(dot(rest, rest));
    bases.push(rest.map((value) => value / length));
  }
  const residuals = without(
    means.map(({ difference }) => difference),
    bases,
  );
  const squares = dot(residuals, residuals);
  const products = dot(residuals.slice(1), residuals.slice(0, -1));
  const rho = squares > 0 ? Math.min(0.9, Math.max(0, products / squares + 2 / n)) : 0;
  return { scatter: squares / Math.max(1, n - shapes.length), inflation: (1 + rho) / (1 - rho) };
};

/** Median of χ² with one degree of freedom. */
const medianOfSquare = 0.455;
/** Sum of the squares of the weights 1, −3, 3, −1 of a third difference. */
const thirdDifference = 20;

/** Scatter from block to block, K²: the median of squared third differences, which no smooth course and no jump moves much. */
export const blockToBlock = (blocks: readonly Block[]): number => {
  const latest = blocks.slice(-lookedAt).map(({ difference }) => difference);
  const squares = latest
    .slice(3)
    .map((value, index) => (value - 3 * latest[index + 2]! + 3 * latest[index + 1]! - latest[index]!) ** 2)
    .toSorted((a, b) => a - b);
  const median = squares[Math.floor(squares.length / 2)] ?? 0;
  return median / (thirdDifference * medianOfSquare);
};
