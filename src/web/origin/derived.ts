import type { Pass } from "#contract";

/** Which figure of a measured point is worked out step by step from the station's derivation. */
export interface Derived {
  readonly figure: "reference" | "indication" | "error" | "uncertainty" | "decision";
  readonly item: string;
  readonly pass: Pass;
  readonly point: number;
}
