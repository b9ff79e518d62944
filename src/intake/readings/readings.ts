import type { Channel, Pass } from "#calibration";

/** One reading of a file, as it was typed and as it is meant. */
export interface FileReading {
  readonly line: number;
  /** Seconds from the file's time 0. */
  readonly time: number;
  readonly channel: string;
  readonly value: number;
  /** The digits as they stand in the file, with a decimal point. */
  readonly digits: string;
  readonly unit: Channel["unit"];
  readonly pass: Pass;
  /** Index into procedure.points; null where the reading belongs to no point (on the way to one). */
  readonly point: number | null;
}

/** Readings that were recorded elsewhere, in the order of the file. */
export interface Readings {
  readonly name: string;
  /** UTC of time 0 where the file holds dates and times; null where it counts seconds. */
  readonly start: string | null;
  /** Whether the file says which readings belong to which point. */
  readonly hasPoints: boolean;
  readonly rows: readonly FileReading[];
  /** Columns that have no meaning here and were not used. */
  readonly unusedColumns: readonly string[];
}
