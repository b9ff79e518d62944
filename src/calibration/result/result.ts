import type { Sensor } from "#thermometry";
import type { FitModel } from "../fit/curve-fit.ts";
import type { Conformity, Decision, Figure, ResultBudget } from "./figures.ts";
import type { SwitchResult } from "./switch-result.ts";
import type { ClosingCheckPlan } from "../job/closing-check.ts";
import type { Direction, Pass } from "../job/procedure.ts";

export type { Conformity, Decision, Distribution, Figure, ResultBudget, ResultBudgetLine } from "./figures.ts";

/*
 * The result of a run: a pure function of its log. Temperatures in °C, differences and uncertainties in K.
 */

/**
 * Global risks of the rule at this point (JCGM 106:2012, 9.5): of items with this history, how many are accepted and do not
 * conform, how many rejected and conform, before anything is measured. They say nothing of the very item that was
 * measured; that is `Conformity.specificRisk`, and neither stands for the other.
 */
export interface GlobalRiskStatement {
  readonly status: "stated";
  readonly consumer: number;
  readonly producer: number;
  /** Normal distribution of the true errors, K, fitted from `observations` earlier errors with their own u taken out. */
  readonly prior: {
    readonly of: "item" | "class";
    readonly mean: number;
    readonly sd: number;
    /** Scatter of the errors as they were found, K. */
    readonly observed: number;
    readonly observations: number;
    readonly from: string;
    readonly to: string;
  };
  readonly origin: readonly number[];
}

/** A history is given, and no global risk follows from it at this point. */
export interface NoGlobalRisk {
  readonly status: "not-stated";
  readonly reason: string;
}

/** Text for the certificate, rounded by ILAC-P14: U to two significant digits, the rest to the same place. */
export interface ReportedPoint {
  readonly reference: string;
  readonly indication: string;
  readonly error: string;
  readonly U: string;
  readonly k: string;
}

export interface MeasuredPoint {
  readonly status: "measured";
  readonly point: number;
  readonly nominal: number;
  readonly reference: Figure;
  readonly indication: Figure;
  /** Mean raw signal of the item, in its own unit. */
  readonly signal: Figure;
  readonly referenceSignal: Figure;
  readonly error: Figure;
  readonly budget: ResultBudget;
  readonly conformity: Conformity | null;
  /** Why there is no conformity, where there is none. */
  readonly conformityNote: string | null;
  /** Left out where the job gives no history of the item. */
  readonly globalRisk?: GlobalRiskStatement | NoGlobalRisk;
  readonly reported: ReportedPoint;
  readonly readings: number;
  readonly effectiveReadings: number;
  readonly window: { readonly from: number; readonly to: number };
  /** From which side the point was reached, where the pass meets a temperature twice. */
  readonly approach?: Direction;
  /** Why the point was added to the procedure's, where it was. */
  readonly added?: string;
}

export interface UnmeasuredPoint {
  readonly status: "skipped" | "not-measured" | "flagged";
  readonly point: number;
  readonly nominal: number;
  /** Fault code of a flagged point. */
  readonly code?: string;
  readonly reason: string;
  readonly origin: readonly number[];
}

export type PointResult = MeasuredPoint | UnmeasuredPoint;

/** The same temperature met at two points of a pass, on the way up and down or again at the end: information only. */
export interface RepeatedTemperature {
  readonly nominal: number;
  /** The two points, in the order in which they were measured. */
  readonly points: readonly [number, number];
  /** How the temperature was reached the first and the second time; null where the log does not say. */
  readonly approach: readonly [Direction | null, Direction | null];
  /** Second error minus first, in K. */
  readonly difference: Figure;
  /** Expanded uncertainty of that difference: only what differs between the two points counts, in K. */
  readonly U: number;
}

/** A coefficient of a fitted item with its unit; the standard error holds what is common to all points. */
export interface FittedCoefficient {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly standardError: number;
}

/** A row of the item's own table: what it gives at a temperature, and U of that as a temperature. */
export interface FittedRow {
  readonly temperature: number;
  /** In the fit's unit. */
  readonly signal: number;
  /** Signal per °C. */
  readonly slope: number;
  /** Expanded uncertainty of the fitted curve there, K. */
  readonly U: number;
  /** Text for the certificate: the signal to the place of the second digit of its own U. */
  readonly reported: { readonly temperature: string; readonly signal: string; readonly U: string };
}

/** The item's points as an equation (rule C36). Temperatures in °C, signals in `unit`. */
export interface FittedItem {
  readonly status: "fitted";
  readonly model: FitModel;
  readonly unit: "Ω" | "mV" | "mA" | "°C";
  readonly subrange: number | null;
  readonly coefficients: readonly FittedCoefficient[];
  readonly covariance: readonly (readonly number[])[];
  /** Measured minus fitted at each point: in the unit of the signal, and as a temperature in K. */
  readonly residuals: readonly {
    readonly point: number;
    readonly nominal: number;
    readonly temperature: number;
    readonly residual: number;
    readonly kelvin: number;
  }[];
  /** Largest of them without its sign, K. */
  readonly largestResidual: number;
  /** Without unit, about 1 to be expected; null without degrees of freedom. */
  readonly residualStandardDeviation: number | null;
  readonly degreesOfFreedom: number;
  readonly range: { readonly lower: number; readonly upper: number };
  /** Coverage factor and probability of the U in the table. */
  readonly k: number;
  readonly coverage: number;
  readonly table: readonly FittedRow[];
  /** The sensor that these coefficients make; null for a polynomial. */
  readonly sensor: Sensor | null;
  readonly notes: readonly string[];
  readonly origin: readonly number[];
}

/** A fit that was asked for and could not be made, with the reason. */
export interface UnfittedItem {
  readonly status: "not-fitted";
  readonly reason: string;
}

/** A temperature reached rising and falling: what the item shows of the way by which it came there (rule C51). */
export interface Hysteresis {
  readonly nominal: number;
  readonly rising: number;
  readonly falling: number;
  /** Error falling minus error rising, K. */
  readonly difference: Figure;
  /** Expanded uncertainty of that difference, K. */
  readonly U: number;
}

/** What shows at the end of a run that the reference is still what its certificate says (rule C52). */
export interface ClosingCheck {
  readonly kind: ClosingCheckPlan["kind"];
  readonly status: "holds" | "failed" | "not-done";
  readonly reference: { readonly id: string; readonly serial: string };
  /** What the reference read and what it should have read; null for a check at the first point. */
  readonly temperature: Figure | null;
  readonly standard: Figure | null;
  /** Differences in K: of the reference itself (`item` null), or of each item between the end and the beginning. */
  readonly differences: readonly {
    readonly item: string | null;
    readonly difference: Figure;
    readonly u: number;
    readonly U: number;
  }[];
  /** K. */
  readonly limit: number;
  readonly statement: string;
  readonly origin: readonly number[];
}

/** A kit entry that took another's place in the middle of a run. */
export interface KitChange {
  readonly role: "reference" | "readout" | "source";
  readonly from: { readonly id: string; readonly serial: string };
  readonly to: { readonly id: string; readonly serial: string };
  readonly at: number;
  readonly earlier: "keep" | "flag";
  readonly reason: string;
  readonly by: string;
  readonly origin: readonly number[];
}

export interface PassResult {
  readonly pass: Pass;
  readonly points: readonly PointResult[];
  /**
   * The worst decision of the pass: fail, conditional fail, undecided, conditional pass, pass. A point without a decision of its own (skipped,
   * flagged, no tolerance there) leaves the pass undecided. Null where no point was measured.
   */
  readonly decision: Decision | null;
  /** Left out where no temperature was met twice. */
  readonly repeats?: readonly RepeatedTemperature[];
  /** Left out where no temperature was reached from both sides. */
  readonly hysteresis?: readonly Hysteresis[];
  /** The check at the first point, where the procedure plans it. */
  readonly check?: ClosingCheck;
  /** Left out where the procedure asks for no fit. */
  readonly fit?: FittedItem | UnfittedItem;
  /** For a switch only, and then `points` is empty: its ramps are listed in here. */
  readonly switch?: SwitchResult;
}

export interface ItemResult {
  readonly item: string;
  readonly tag: string;
  readonly passes: readonly PassResult[];
  readonly adjustment: { readonly zero: number; readonly span: number; readonly origin: readonly number[] } | null;
  /** The sensor with the coefficients that were loaded for the item in the run; left out where none were. */
  readonly loaded?: { readonly sensor: Sensor; readonly reason: string; readonly origin: readonly number[] };
}

export interface Result {
  readonly format: "dwellpoint-result/1";
  readonly run: string;
  readonly job: string;
  readonly opened: string;
  /** Seconds from opening to the last event. */
  readonly duration: number;
  readonly outcome: "completed" | "stopped" | "failed" | "open";
  readonly software: { readonly name: string; readonly version: string };
  readonly seed: number | null;
  readonly rehearsal: boolean;
  readonly items: readonly ItemResult[];
  /** Left out where the procedure plans no check at an ice point or against a second thermometer. */
  readonly closingCheck?: ClosingCheck;
  /** Left out where the kit stayed the same. */
  readonly kitChanges?: readonly KitChange[];
  readonly faults: readonly { readonly code: string; readonly message: string; readonly origin: readonly number[] }[];
  readonly warnings: readonly string[];
}
