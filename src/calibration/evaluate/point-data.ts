import type { SeriesMean } from "#uncertainty";
import type { Item } from "../job/item.ts";
import type { Job } from "../job/job.ts";
import type { RunEventOf } from "../log/events.ts";
import type { CalendarDay } from "./calendar-day.ts";
import type { ClosingCheck } from "../result/result.ts";
import type { SeenHysteresis } from "./point-place.ts";
import type { PairedReadings } from "./pair-readings.ts";

/** Everything from which the budget of one error is made. */
export interface PointData {
  /** Name of the run. */
  readonly run: string;
  readonly job: Job;
  readonly item: Item;
  readonly nominal: number;
  readonly measured: RunEventOf<"point-measured">;
  readonly settled: RunEventOf<"point-settled"> | undefined;
  readonly pairs: PairedReadings;
  readonly series: SeriesMean;
  /** Means over the pairs, °C and the units of the channels. */
  readonly reference: number;
  readonly indication: number;
  readonly signal: number;
  readonly referenceSignal: number;
  /** Signal per °C at those means. */
  readonly slope: number;
  readonly referenceSlope: number;
  /** Slope of the thermocouple at its reference junction, mV/°C; undefined where the item has none. */
  readonly junctionSlope: number | undefined;
  readonly day: CalendarDay;
  /** What going both ways showed here, and what the closing check says of the reference; undefined where there is nothing. */
  readonly hysteresis: SeenHysteresis | undefined;
  readonly check: ClosingCheck | undefined;
}
