/**
 * A figure of a result: a pure function of a log. Every figure carries the numbers of the log lines it came from.
 * Temperatures in °C, differences and uncertainties in K.
 */
export interface Figure {
  readonly value: number;
  readonly unit: "°C" | "K" | "Ω" | "mV" | "mA";
  /** Log lines (`n`) that the figure was worked out from. */
  readonly origin: readonly number[];
}

export type Distribution = "normal" | "rectangular" | "triangular" | "u-shaped" | "student";

/** One line of the budget of an error; `u` is the standard uncertainty in `unit`, `contribution` = |sensitivity|·u in K. */
export interface ResultBudgetLine {
  /** Stable name, for programs: `reference.calibration`, `source.axial`, `item.repeatability` … */
  readonly id: string;
  readonly name: string;
  readonly u: number;
  readonly unit: "K" | "Ω" | "mV" | "mA";
  readonly distribution: Distribution;
  /** Degrees of freedom; null stands for infinitely many. */
  readonly degreesOfFreedom: number | null;
  /** In K per unit. */
  readonly sensitivity: number;
  readonly contribution: number;
  /** Share of u², 0 to 1. */
  readonly share: number;
  /**
   * What the line's quantity is, by name, where other points or items share it: two lines with the same name are one
   * quantity, in another run too. Left out where the quantity is the point's own.
   */
  readonly shared?: string;
  /** Where the figure comes from, in words: certificate number, kit entry, log. */
  readonly source: string;
  readonly origin: readonly number[];
}

export interface ResultBudget {
  readonly lines: readonly ResultBudgetLine[];
  readonly u: number;
  /** Effective degrees of freedom (Welch-Satterthwaite); null stands for infinitely many. */
  readonly degreesOfFreedom: number | null;
  readonly k: number;
  readonly U: number;
  readonly coverage: number;
}

/**
 * `undecided`: no verdict can be given under the rule (U leaves no acceptance zone), never a fail. The two conditional ones
 * come from the non-binary statement only: within the tolerance but not within the acceptance limits; beyond the tolerance
 * by no more than the guard band (ILAC-G8:09/2019, 4.2.3).
 */
export type Decision = "pass" | "conditional-pass" | "undecided" | "conditional-fail" | "fail";

export interface Conformity {
  readonly tolerance: { readonly lower: number; readonly upper: number };
  readonly acceptance: { readonly lower: number; readonly upper: number } | null;
  readonly decision: Decision;
  readonly conformanceProbability: number;
  /** Specific risk of the decision being wrong: of false acceptance after a pass (a conditional one too), of false rejection after a fail. */
  readonly specificRisk: number | null;
}
