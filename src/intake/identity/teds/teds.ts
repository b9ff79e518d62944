import type { FieldValue } from "./field-types.ts";

/** Who made the probe, which it is and what its number is: the first 64 bits of every TEDS. */
export interface BasicTeds {
  /** Number given to the maker, 17 to 16381; smaller and larger ones are kept for other uses. */
  readonly manufacturer: number;
  readonly model: number;
  /** One capital letter, or none. */
  readonly versionLetter: string;
  readonly version: number;
  readonly serial: number;
}

/** A template of the TEDS with its values by name; a calibration table has rows as well. */
export interface TedsSection {
  readonly template: number;
  readonly values: Readonly<Record<string, FieldValue>>;
  readonly rows?: readonly Readonly<Record<string, FieldValue>>[];
}

export interface Teds {
  readonly basic: BasicTeds;
  readonly sections: readonly TedsSection[];
  /** Text of the owner after the end, seven bits a character. */
  readonly text: string;
  /** Why reading stopped before the end of the TEDS; null where it came to its end. */
  readonly stopped: string | null;
}
