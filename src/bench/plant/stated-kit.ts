import type { SignalUnit } from "#quantity";
import type { Sensor } from "#thermometry";
import type { Figure } from "./figure.ts";
import type { SourceClass } from "./source-classes.ts";

/*
 * What a job says about its kit and items, as far as the simulated bench needs it. Declared here because this room may
 * not know the job's schemas; a checked job fits these shapes as it is.
 */

export interface StatedCalibration {
  /** Day as year-month-day. */
  readonly date: string;
  /** Expanded uncertainty, K. */
  readonly uncertainty?: Figure | undefined;
  readonly k: number;
}

export interface StatedAccuracy {
  readonly unit: SignalUnit;
  readonly upTo?: number | undefined;
  readonly percentOfReading: number;
  readonly absolute: number;
  readonly resolution: number;
}

export interface StatedKit {
  readonly reference: {
    readonly sensor: Sensor;
    readonly channel: string;
    readonly calibration: StatedCalibration;
    readonly driftPerYear: number;
    readonly interpolation: Figure;
    readonly selfHeating: Figure;
  };
  readonly readout: { readonly accuracy: readonly StatedAccuracy[] };
  readonly source: {
    readonly class: SourceClass;
    readonly range: { readonly minimum: number; readonly maximum: number };
    readonly stability: Figure;
    readonly axial: Figure;
    readonly radial: Figure;
    readonly loading: Figure;
  };
}

export type StatedColdJunction =
  | { readonly kind: "ice-point"; readonly halfWidth: number }
  | { readonly kind: "channel"; readonly channel: string; readonly halfWidth: number };

export interface StatedItem {
  readonly id: string;
  readonly channel: string;
  readonly sensor: Sensor;
  readonly coldJunction?: StatedColdJunction | undefined;
  readonly indicationResolution?: number | undefined;
  /** Range of use, °C: over it a span adjustment counts where the sensor itself has no span. */
  readonly range?: { readonly lower: number; readonly upper: number } | undefined;
  /** Limits of what belongs to the item's installation, K, by name. */
  readonly contributions: Readonly<Record<string, Figure | undefined>>;
}

/** Days from one day to another, both year-month-day (proleptic Gregorian calendar). */
export const daysBetween = (from: string, to: string): number => dayNumber(to) - dayNumber(from);

const dayNumber = (day: string): number => {
  const [year, month, date] = day.slice(0, 10).split("-").map(Number) as [number, number, number];
  // The year is counted from March, so that the leap day is its last day.
  const y = month > 2 ? year : year - 1;
  const m = (month + 9) % 12;
  return (
    365 * y + Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400) + Math.floor((306 * m + 5) / 10) + date
  );
};
