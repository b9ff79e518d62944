import type { FaultValue } from "#fault";
import type { EventDraft } from "#calibration";
import type { ChannelAnswer } from "./ports.ts";
import type { Volatile } from "./state.ts";

/** What a person may ask of a run. `by` is who asks. */
export type RunCommand =
  | { readonly command: "start" | "pause" | "resume" | "confirm-adjustment"; readonly by: string }
  | { readonly command: "stop"; readonly by: string; readonly reason?: string }
  | { readonly command: "skip-point"; readonly by: string; readonly reason: string }
  | {
      readonly command: "repeat-point";
      readonly by: string;
      readonly reason: string;
      readonly pass?: string;
      readonly point?: number;
    }
  | { readonly command: "add-note"; readonly by: string; readonly text: string };

export type RunCommandName = RunCommand["command"];

/** What is advised for an item after its as-found pass, worked out from the log. */
export interface Advice {
  readonly item: string;
  readonly adjust: boolean;
  readonly zero: number;
  readonly span: number;
  /** Why, in a sentence. */
  readonly reason: string;
}

/** A change of an item's indication: by `zero` K at the lower end of its range, and `span` K more over its range. */
export interface Adjustment {
  readonly item: string;
  readonly zero: number;
  readonly span: number;
}

export type EngineInput =
  | { readonly kind: "answers"; readonly at: number; readonly answers: readonly ChannelAnswer[] }
  | { readonly kind: "command"; readonly at: number; readonly command: RunCommand }
  | { readonly kind: "effect-failed"; readonly at: number; readonly effect: Effect; readonly fault: FaultValue }
  | { readonly kind: "advised"; readonly at: number; readonly advice: readonly Advice[] }
  | { readonly kind: "adjusted"; readonly at: number; readonly adjustments: readonly Adjustment[]; readonly by: string }
  | { readonly kind: "interrupted"; readonly at: number }
  /** The source was switched off outside the run, because nothing could be recorded. */
  | { readonly kind: "heat-taken"; readonly at: number };

/** What is to be done outside, after the events are durable. */
export type Effect =
  | { readonly kind: "command-set-point"; readonly temperature: number }
  | { readonly kind: "switch-output"; readonly on: boolean }
  | { readonly kind: "advise-adjustment" }
  | { readonly kind: "adjust-items"; readonly adjustments: readonly Adjustment[]; readonly by: string }
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
