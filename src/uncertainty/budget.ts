import type { Distribution } from "./distribution.ts";

/** One input quantity of an additive model, y = Σ sensitivity·quantity (JCGM 100:2008, 5.1.6). */
export interface BudgetLine {
  readonly name: string;
  /** Estimate of the quantity; 0 where nothing is said (a correction of unknown sign). */
  readonly value?: number;
  /** Standard uncertainty of the quantity, in its own unit; 0 or more. */
  readonly u: number;
  /** Degrees of freedom of `u`, above 0; infinite where nothing is said (JCGM 100:2008, G.4.3). */
  readonly dof?: number;
  /** Unit of the result per unit of the quantity; 1 where nothing is said. */
  readonly sensitivity?: number;
  /** Normal where nothing is said. */
  readonly distribution?: Distribution;
  /** Of a trapezoid: its top over its base, 0 (triangle) to 1 (rectangle); 0.5 where nothing is said. */
  readonly shape?: number;
}

/** A line with its defaults written out; only a trapezoid has a shape. */
export type CompleteLine = Required<Omit<BudgetLine, "shape">> & Pick<BudgetLine, "shape">;

/** A declared correlation between two lines, by name. Lines that are not named together are independent. */
export interface Correlation {
  readonly a: string;
  readonly b: string;
  /** Correlation coefficient, −1 to 1. */
  readonly r: number;
}

export interface Budget {
  readonly lines: readonly BudgetLine[];
  readonly correlations?: readonly Correlation[];
  /** Coverage probability, between 0 and 1; 0.9545 where nothing is said. */
  readonly level?: number;
  /** A coverage factor laid down by agreement; the level then follows from it. */
  readonly k?: number;
}

export interface CombinedLine extends CompleteLine {
  /** |sensitivity|·u, in the unit of the result. */
  readonly contribution: number;
  /**
   * Share of u²: the line's own variance and half of each covariance in which it takes part, so that all shares add to 1.
   * Without correlation it lies in 0 to 1; a line that another one cancels may have a negative share.
   */
  readonly share: number;
}

export interface CombinedBudget {
  readonly value: number;
  readonly u: number;
  /** Effective degrees of freedom as the formula gives them, not truncated; may be infinite. */
  readonly dof: number;
  readonly k: number;
  readonly U: number;
  readonly level: number;
  readonly lines: readonly CombinedLine[];
}

export const usualLevel = 0.9545;
