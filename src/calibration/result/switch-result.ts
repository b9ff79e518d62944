import type { Conformity, Decision, Figure, ResultBudget } from "./figures.ts";

/** One ramp of a switch: what its contact did on it. Temperatures in °C, rates in K/min, times in s. */
export interface SweepResult {
  readonly point: number;
  readonly direction: "rising" | "falling";
  readonly cycle: number;
  readonly status: "changed" | "no-change" | "flagged" | "skipped" | "not-measured";
  /** Reference at the moment of the change, as it was read; null where there was none. */
  readonly temperature: Figure | null;
  /** Rate of the reference around the change; null where there was none. */
  readonly rate: number | null;
  /** The change lies between these moments; null where there was none. */
  readonly bracket: { readonly from: number; readonly to: number } | null;
  readonly bounces: number;
  /** Why there is no temperature, where there is none. */
  readonly reason: string | null;
  readonly origin: readonly number[];
}

interface ChangePlace {
  readonly role: "trip" | "reset";
  readonly direction: "rising" | "falling";
  readonly contact: "opens" | "closes";
  /** °C; null for a reset that has no agreed temperature. */
  readonly nominal: number | null;
}

/** The temperature at which a switch acts in one direction: mean over its cycles, at a rate of nought. */
export interface MeasuredChange extends ChangePlace {
  readonly status: "measured";
  readonly temperature: Figure;
  /** Temperature minus nominal, K; null where there is no nominal. */
  readonly deviation: Figure | null;
  /** Budget of the temperature, and so of the deviation. */
  readonly budget: ResultBudget;
  readonly conformity: Conformity | null;
  readonly conformityNote: string | null;
  readonly reported: {
    readonly temperature: string;
    readonly deviation: string | null;
    readonly U: string;
    readonly k: string;
  };
  readonly cycles: number;
}

/** A direction without a temperature. `decision`: fail where the contact did not change although it was far beyond its limit. */
export interface UnmeasuredChange extends ChangePlace {
  readonly status: "no-change" | "not-measured" | "flagged";
  readonly code?: string;
  readonly reason: string;
  readonly decision: "fail" | null;
  readonly origin: readonly number[];
}

/** The distance between trip and reset, K; what is common to both cancels in its budget. */
export interface MeasuredDeadBand {
  readonly status: "measured";
  readonly value: Figure;
  readonly budget: ResultBudget;
  /** Against the limits of the dead band itself, not of a deviation. */
  readonly conformity: Conformity | null;
  readonly conformityNote: string | null;
  readonly reported: { readonly value: string; readonly U: string; readonly k: string };
}

export interface UnmeasuredDeadBand {
  readonly status: "not-measured";
  readonly reason: string;
}

/** How the effect of the ramp was dealt with: declared, found from two rates, or bounded only. Seconds. */
export interface SwitchLag {
  readonly known: "declared" | "two-rates" | "bounded";
  readonly seconds: number;
  /** Standard uncertainty. */
  readonly u: number;
}

/** What a pass brings for a switch, in place of errors at points. */
export interface SwitchResult {
  readonly rising: MeasuredChange | UnmeasuredChange;
  readonly falling: MeasuredChange | UnmeasuredChange;
  readonly deadBand: MeasuredDeadBand | UnmeasuredDeadBand;
  readonly sweeps: readonly SweepResult[];
  readonly lag: SwitchLag;
  /** The worst of the statements for trip, reset and dead band that are agreed. */
  readonly decision: Decision | null;
}
