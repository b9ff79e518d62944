import type { PatternRemark } from "#diagnosis";
import type { FaultValue, Outcome } from "#fault";
import type { ClosingCheck, Direction, EventDraft, Readout, Reference, Source } from "#calibration";
import type { Advice } from "./advice.ts";
import type { ChannelAnswer } from "./ports.ts";
import type { Volatile } from "./state.ts";

/** What a person may ask of a run. `by` is who asks. */
export type RunCommand =
  | {
      readonly command: "start" | "pause" | "resume" | "confirm-adjustment" | "confirm-check";
      readonly by: string;
    }
  | { readonly command: "stop"; readonly by: string; readonly reason?: string }
  | { readonly command: "skip-point"; readonly by: string; readonly reason: string }
  | { readonly command: "skip-check"; readonly by: string; readonly reason: string }
  | {
      readonly command: "repeat-point";
      readonly by: string;
      readonly reason: string;
      readonly pass?: string;
      readonly point?: number;
    }
  | {
      readonly command: "add-point";
      readonly by: string;
      readonly reason: string;
      /** °C. */
      readonly temperature: number;
      readonly direction?: Direction;
      /** Where it costs the least way (the default), as the next point, or as the last. */
      readonly where?: "cheapest" | "next" | "last";
    }
  | {
      readonly command: "swap-points";
      readonly by: string;
      readonly reason: string;
      readonly pass?: string;
      readonly point: number;
      readonly with: number;
    }
  | {
      readonly command: "break";
      readonly by: string;
      /** The source holds its temperature, or is switched off. */
      readonly hold: boolean;
      /** How long it may hold, s; the procedure's limit where nothing is said, and never more. */
      readonly seconds?: number;
    }
  | {
      readonly command: "replace-kit";
      readonly by: string;
      readonly reason: string;
      readonly reference?: Reference;
      readonly readout?: Readout;
      readonly source?: Source;
      readonly earlier: "keep" | "flag";
    }
  | {
      readonly command: "record-check";
      readonly by: string;
      /** What the check thermometer shows, °C. */
      readonly value: number;
    }
  | {
      readonly command: "enter-reading";
      readonly by: string;
      readonly channel: string;
      /** As typed: digits, a decimal comma or point, a sign, the unit if wanted. */
      readonly typed: string;
      /** How long ago it was seen, s; now where nothing is said. */
      readonly ago?: number;
    }
  | { readonly command: "confirm-reading" | "enough-readings"; readonly by: string }
  | {
      readonly command: "withdraw-reading";
      readonly by: string;
      readonly reason: string;
      readonly channel: string;
      /** When it was seen, s on the run's clock; the latest of the channel where nothing is said. */
      readonly time?: number;
    }
  /** `typed`: what was set, °C, where the person says it. */
  | { readonly command: "confirm-set-point"; readonly by: string; readonly typed?: string }
  | { readonly command: "add-note"; readonly by: string; readonly text: string };

export type RunCommandName = RunCommand["command"];

/** A change of an item's indication: by `zero` K at the lower end of its range, and `span` K more over its range. */
export interface Adjustment {
  readonly item: string;
  readonly zero: number;
  readonly span: number;
}

/** Where the reference is. */
export type ReferencePlace = "source" | "ice-point" | "beside-check-thermometer";

export type EngineInput =
  | { readonly kind: "answers"; readonly at: number; readonly answers: readonly ChannelAnswer[] }
  | { readonly kind: "command"; readonly at: number; readonly command: RunCommand }
  | { readonly kind: "effect-failed"; readonly at: number; readonly effect: Effect; readonly fault: FaultValue }
  | { readonly kind: "advised"; readonly at: number; readonly advice: readonly Advice[] }
  | { readonly kind: "adjusted"; readonly at: number; readonly adjustments: readonly Adjustment[]; readonly by: string }
  | { readonly kind: "placed"; readonly at: number; readonly where: ReferencePlace }
  | { readonly kind: "check-judged"; readonly at: number; readonly checks: readonly ClosingCheck[] }
  | { readonly kind: "pattern-seen"; readonly at: number; readonly remarks: readonly PatternRemark[] }
  /** Somebody touched the run: they are there. */
  | { readonly kind: "attended"; readonly at: number }
  /** Somebody pressed stop: the heat was taken away at once, before anything of it was recorded. */
  | { readonly kind: "halted"; readonly at: number; readonly by: string }
  /** The source was asked how it stands before the run goes on. */
  | { readonly kind: "source-looked"; readonly at: number; readonly by: string; readonly found: Outcome<SourceFound> }
  | { readonly kind: "interrupted"; readonly at: number }
  /** The source was switched off outside the run, because nothing could be recorded. */
  | { readonly kind: "heat-taken"; readonly at: number };

/** How the source stands by its own word; null where it cannot be asked. */
export interface SourceFound {
  readonly setPoint: number | null;
  readonly output: boolean | null;
}

/** What is to be done outside, after the events are durable. */
export type Effect =
  | { readonly kind: "command-set-point"; readonly temperature: number }
  /** K/min; null: as fast as the source can. */
  | { readonly kind: "set-ramp-rate"; readonly rate: number | null }
  | { readonly kind: "switch-output"; readonly on: boolean }
  | { readonly kind: "look-at-source"; readonly by: string }
  | { readonly kind: "advise-adjustment" }
  | { readonly kind: "adjust-items"; readonly adjustments: readonly Adjustment[]; readonly by: string }
  | { readonly kind: "place-reference"; readonly where: ReferencePlace }
  | { readonly kind: "fit-reference"; readonly reference: Reference }
  | { readonly kind: "judge-check" }
  | { readonly kind: "finish" };

/** Events in order, then effects in order. A `refusal` says why a command was not followed; nothing happened then. */
export interface Decision {
  readonly events: readonly EventDraft[];
  readonly effects: readonly Effect[];
  readonly refusal?: FaultValue;
  /** What waits for the log after this, where the input itself changed it. */
  readonly volatile?: Volatile;
}

export const nothing: Decision = { events: [], effects: [] };
