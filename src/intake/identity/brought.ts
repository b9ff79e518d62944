import type { CheckValue, KitCalibration, Readout, Reference, Source } from "#calibration";
import type { SignalUnit } from "#quantity";

export type BroughtForm = "data-sheet" | "certificate" | "label";

/** Who the probe is, as far as it was said. */
export interface BroughtIdentity {
  readonly serial: string | null;
  readonly manufacturer: string | null;
  readonly model: string | null;
  readonly description: string | null;
  /** The identity of a data sheet in one word: maker-model-version-serial. */
  readonly dataSheet: string | null;
  /** Everything else that names it: equipment numbers, customer's tags, versions. */
  readonly further: readonly { readonly label: string; readonly value: string }[];
}

/** What was said of its calibration; null for each thing that was not. */
export interface BroughtCalibration {
  readonly certificate: string | null;
  readonly laboratory: string | null;
  readonly date: string | null;
  readonly due: string | null;
  /** Expanded uncertainty in K, with its coverage factor. */
  readonly uncertainty: KitCalibration["uncertainty"] | null;
  readonly k: number | null;
}

/** One measured point of the calibration that came along. */
export interface BroughtPoint {
  /** Reference value, °C. */
  readonly temperature: number;
  /** What the probe showed, in `unit`. */
  readonly measured: number | null;
  readonly unit: SignalUnit | null;
  /** Error of indication, K. */
  readonly error: number | null;
  /** Expanded uncertainty with its factor, in `uncertaintyUnit`. */
  readonly U: number | null;
  readonly uncertaintyUnit: SignalUnit | "K" | null;
  readonly k: number | null;
}

/** A table of values for a person, digits as they were printed. */
export interface BroughtTable {
  readonly title: string;
  readonly columns: readonly { readonly label: string; readonly unit: string }[];
  readonly rows: readonly (readonly string[])[];
}

/** A kit entry as it is recorded, in one of its three kinds; the channel of a reference belongs to a job. */
export type BroughtEntry =
  | { readonly kind: "reference"; readonly entry: Omit<Reference, "channel"> }
  | { readonly kind: "readout"; readonly entry: Readout }
  | { readonly kind: "source"; readonly entry: Source };

/** What a probe, its certificate or its label says of itself, in one form whatever it came in. */
export interface Brought {
  readonly form: BroughtForm;
  /** What it was and which edition, in words. */
  readonly source: string;
  readonly identity: BroughtIdentity;
  readonly calibration: BroughtCalibration;
  readonly sensor: Reference["sensor"] | null;
  readonly unit: SignalUnit | null;
  /** Where the calibration holds, °C. */
  readonly range: { readonly minimum: number; readonly maximum: number } | null;
  readonly checkValues: readonly CheckValue[];
  readonly points: readonly BroughtPoint[];
  readonly tables: readonly BroughtTable[];
  /** The whole entry, where a label of ours carried one. */
  readonly entry: BroughtEntry | null;
  /** What a person should know: what was not understood, what is from memory, what was assumed. */
  readonly notes: readonly string[];
}
