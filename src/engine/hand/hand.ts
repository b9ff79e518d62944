import type { Pass } from "#calibration";
import type { SettlingState } from "#settling";

/** A pair that a typed reading makes with what else was known at its moment, °C. */
export interface HandPair {
  readonly reference: number;
  readonly item: number;
}

/** A reading that a person typed, and what has become of it. */
export interface TypedReading {
  readonly channel: string;
  /** When it was seen, and when it was typed, s. */
  readonly time: number;
  readonly enteredAt: number;
  readonly value: number;
  /** The digits as typed. */
  readonly typed: string;
  /** °C; null where the signal gives none. */
  readonly temperature: number | null;
  readonly by: string;
  readonly confirmed: boolean;
  readonly pass: Pass | null;
  readonly point: number | null;
  readonly pairs: Readonly<Record<string, HandPair>>;
  readonly withdrawn: { readonly reason: string; readonly by: string } | null;
}

/** A typed reading that is not likely, until it is confirmed or typed again. */
export interface AskedBack {
  readonly channel: string;
  readonly time: number;
  readonly value: number;
  readonly typed: string;
  readonly question: string;
  readonly by: string;
}

/** What is read and set by hand in a run; null where nothing is. */
export interface HandState {
  readonly readings: readonly TypedReading[];
  /** The present approach began here: what was typed before belongs to no point that is still open, s. */
  readonly since: number;
  /** When somebody confirmed the set point; null while it is waited for. Where the source has a wire: when it was commanded. */
  readonly confirmedAt: number | null;
  readonly asked: { readonly at: number; readonly channels: readonly string[] } | null;
  /** From here on typed readings count for the point; null before the first round. */
  readonly begunAt: number | null;
  readonly question: AskedBack | null;
  /** How near to rest a wired probe is; null where none is wired. */
  readonly steady: SettlingState | null;
  /** Since when the reference has been near the set point, as the written rules mean it, s. */
  readonly reachedSince: number | null;
}
