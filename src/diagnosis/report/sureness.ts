import type { Sureness } from "./diagnosis.ts";

const steps: readonly (readonly [number, Sureness])[] = [
  [0.99, "practically certain"],
  [0.9, "very probable"],
  [0.6, "probable"],
  [0.1, "possible"],
];

/** A plain word for a probability. */
export const surenessOf = (probability: number): Sureness =>
  steps.find(([least]) => probability >= least)?.[1] ?? "unlikely";

/** A probability as people say it: whole percent, never 0 or 100. */
export const inPercent = (probability: number): string => {
  if (probability > 0.99) return "more than 99 %";
  if (probability < 0.01) return "less than 1 %";
  return `${Math.round(100 * probability)} %`;
};
