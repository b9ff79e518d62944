import type { Item } from "../job/item.ts";
import type { Direction, Pass } from "../job/procedure.ts";

/** A point of a pass, for one item. */
export interface PointPlace {
  readonly item: Item;
  readonly pass: Pass;
  /** Index into the procedure's points. */
  readonly point: number;
}

/** What going both ways showed at a temperature: the error falling less the error rising, K. */
export interface SeenHysteresis {
  readonly difference: number;
  readonly partner: number;
  readonly direction: Direction;
  readonly origin: readonly number[];
}
