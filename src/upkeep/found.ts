import type { Reference, Source } from "#calibration";

export type FigureName =
  | "stability"
  | "axial"
  | "radial"
  | "loading"
  | "hysteresis"
  | "control"
  | "conduction"
  | "selfHeating"
  | "shift";

/** One figure that a test found, with the limit that a budget takes from it. */
export interface FoundFigure {
  readonly figure: FigureName;
  /** °C */
  readonly temperature: number;
  /** With its sign where it has one, K. */
  readonly value: number;
  readonly u: number;
  readonly dof: number;
  readonly k: number;
  readonly U: number;
  /** ± limit for the budget, K; null where no budget takes the figure. */
  readonly limit: number | null;
  /** How it was found and why the limit is what it is, in words. */
  readonly rationale: string;
  /** Visits of the document, from 0, that it comes from. */
  readonly visits: readonly number[];
}

/** A changed field of a kit entry. */
export interface EntryChange {
  readonly field: string;
  readonly before: string;
  readonly after: string;
  readonly reason: string;
}

/** The next revision of a kit entry, as it is proposed: it holds once somebody has approved it. */
export type ProposedRevision =
  | { readonly kind: "source"; readonly entry: Source; readonly changes: readonly EntryChange[] }
  | { readonly kind: "reference"; readonly entry: Reference; readonly changes: readonly EntryChange[] };

export type Verdict = "conclusive" | "inconclusive" | "go-on" | "repeat" | "out-of-service";

/** What every evaluation says. */
export interface Evaluated {
  readonly entry: {
    readonly kind: "source" | "reference" | "thermometer";
    readonly id: string;
    readonly serial: string;
  };
  readonly at: string;
  readonly by: string;
  readonly rehearsal: boolean;
  readonly verdict: Verdict;
  /** What it comes to, one sentence. */
  readonly statement: string;
  readonly figures: readonly FoundFigure[];
  readonly warnings: readonly string[];
  readonly revision: ProposedRevision | null;
}
