import type { Item } from "#calibration";

/** What an adjustment is forecast to do at one point; K. */
export interface ForecastAtPoint {
  readonly point: number;
  readonly nominal: number;
  readonly asFound: number;
  readonly shift: number;
  readonly shiftU: number;
  readonly asLeft: number;
  readonly U: number;
}

/** What is advised for an item after its as-found pass, worked out from the log. */
export interface Advice {
  readonly item: string;
  readonly adjust: boolean;
  readonly zero: number;
  readonly span: number;
  /** New coefficients in place of zero and span: the sensor that they make, and their names and values. */
  readonly coefficients?: {
    readonly sensor: Item["sensor"];
    readonly values: readonly { readonly name: string; readonly value: number; readonly unit: string }[];
    /** They are to be entered in the item's own electronics; otherwise they belong to whoever reads the sensor. */
    readonly inItem: boolean;
  };
  readonly forecast: readonly ForecastAtPoint[];
  /** Why, in a sentence. */
  readonly reason: string;
}
