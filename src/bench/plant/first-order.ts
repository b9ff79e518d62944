/**
 * A first-order lag τ·dy/dt = u − y, stepped exactly for an input that is a straight line within the step:
 * y₁ = a·y₀ + b·u₀ + c·u₁ with a = e^(−h/τ), c = 1 − (1 − a)·τ/h, b = (1 − a)·τ/h − a.
 * No step is too long for it. τ = 0 follows the input at once.
 */
export interface FirstOrder {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

/** Coefficients for a time constant and a step, both in s; step > 0. */
export const firstOrder = (timeConstant: number, step: number): FirstOrder => {
  if (timeConstant <= 0) return { a: 0, b: 0, c: 1 };
  const a = Math.exp(-step / timeConstant);
  const share = (-Math.expm1(-step / timeConstant) * timeConstant) / step;
  return { a, b: share - a, c: 1 - share };
};

export const followFirstOrder = (lag: FirstOrder, output: number, before: number, after: number): number =>
  lag.a * output + lag.b * before + lag.c * after;
