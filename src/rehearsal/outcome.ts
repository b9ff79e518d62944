import type { Decision, Pass } from "#calibration";
import type { FaultValue } from "#fault";

/** A forecast of the moment of readiness that was made at some moment of an approach; run's clock, s. */
export interface MadeForecast {
  /** When it was made. */
  readonly made: number;
  readonly at: number;
  readonly from: number;
  readonly to: number;
}

/** What a fixed soak would have come to: its wait from the set-point change, s, and what was then still missing, K. */
export interface SoakOutcome {
  readonly wait: number;
  readonly missing: number;
}

/** One measured point of one item: what the product stated, and what the simulated bench knows. Temperatures in K. */
export interface PointOutcome {
  /** Of its run: points of one run share what is hidden about the kit. */
  readonly seed: number;
  readonly item: string;
  readonly pass: Pass;
  readonly point: number;
  readonly setPoint: number;
  /** When the set point was commanded, s on the run's clock. */
  readonly commanded: number;
  /** From there to the decision that the item has settled, s. */
  readonly wait: number;
  /** From there to the end of the readings, s. */
  readonly whole: number;
  /** What perfect knowledge would have waited, s; null where nothing ever came to rest. */
  readonly oracle: number | null;
  /** The same for one who knows the future too: from when the mean of the readings to come is within the target. */
  readonly foresight: number | null;
  /** By the minutes of the soak; none where the source's display never arrived. */
  readonly soaks: Readonly<Record<number, SoakOutcome>>;
  readonly target: number;
  /** Error and U by `evaluate`; the item's true error by the bench. */
  readonly error: number;
  readonly U: number;
  readonly truth: number;
  /** Indication less reference in the window as it would be with nothing missing, every error of the kit included. */
  readonly steady: number;
  /** What was still missing in the window, noise apart. */
  readonly missing: number;
  /** The decision's own statement: the steady difference and how far off that may be. */
  readonly estimate: number;
  readonly bound: number;
  readonly tailSuspected: boolean;
  readonly tolerance: { readonly lower: number; readonly upper: number } | null;
  readonly decision: Decision | null;
  readonly forecasts: {
    /** At 30 % and 70 % of the wait, and when the reference had gone 30 % of its way. */
    readonly wait30: MadeForecast | null;
    readonly wait70: MadeForecast | null;
    readonly ramp30: MadeForecast | null;
  };
}

/** A point that was asked for and not measured. */
export interface MissedPoint {
  readonly item: string;
  readonly setPoint: number;
  readonly reason: string;
}

/** One run. A run that could not be conducted holds its fault, and whatever was measured before. */
export interface RunOutcome {
  readonly seed: number;
  readonly points: readonly PointOutcome[];
  readonly missed: readonly MissedPoint[];
  readonly fault: FaultValue | null;
}
