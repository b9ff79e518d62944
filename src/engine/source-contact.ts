import type { EventDraft, RunEventOf } from "#calibration";
import type { FaultValue } from "#fault";
import type { LostSource } from "./lost-source.ts";
import { sourceChannelOf, type EngineState } from "./state.ts";

const contactCodes: ReadonlySet<string> = new Set([
  "instrument.unreachable",
  "instrument.timeout",
  "instrument.closed",
  "instrument.garbled",
  "instrument.exchanged",
]);

/** Whether a fault means that an instrument cannot be spoken to. */
export const isContactLost = ({ code }: FaultValue): boolean => contactCodes.has(code);

const usualHelp = "Look at its display. Switch it off at its own switch unless somebody stays with it.";

/** The catalogue entry of the heat source, as the log froze it. */
export const sourceEntryOf = ({ opened }: Pick<EngineState, "opened">): Readonly<Record<string, unknown>> | null => {
  const name = opened.job.bench.instruments.find(({ role }) => role === "source")?.entry;
  return opened.catalog.find((entry) => entry["entry"] === name) ?? null;
};

interface WhenLeft {
  readonly does: "holds" | "switches-off";
  readonly after?: number;
  readonly atDevice?: string;
}

const whenLeftOf = (state: EngineState): WhenLeft | null =>
  (sourceEntryOf(state)?.["whenLeft"] as WhenLeft | undefined) ?? null;

const lostDraft = (state: EngineState, at: number, fault: FaultValue): Extract<EventDraft, { kind: "source-lost" }> => {
  const channel = sourceChannelOf(state.job);
  const latest = channel === null ? undefined : state.latest[channel];
  return {
    kind: "source-lost",
    at,
    setPoint: state.setPoint?.temperature ?? null,
    output: state.output,
    temperature: latest?.temperature ?? null,
    seen: latest?.time ?? null,
    reason: fault.message,
  };
};

export const lostSourceOf = (state: EngineState, event: Omit<RunEventOf<"source-lost">, "n">): LostSource => {
  const left = whenLeftOf(state);
  return {
    at: event.at,
    setPoint: event.setPoint,
    output: event.output,
    temperature: event.temperature,
    seen: event.seen,
    alone: left === null ? null : { does: left.does, after: left.after ?? null },
    atDevice: left?.atDevice ?? usualHelp,
  };
};

const minutes = (seconds: number): string =>
  seconds < 90 ? `${Math.round(seconds)} s` : `${Math.round(seconds / 60)} minutes`;

const aloneWords = ({ alone, output }: LostSource): string => {
  if (!output) return "";
  if (alone === null)
    return "What it does by itself is not declared in its catalogue entry: take it that it goes on heating.";
  if (alone.does === "holds") return "By itself it goes on holding that temperature.";
  return `By itself it switches its output off${alone.after === null ? "" : ` after ${minutes(alone.after)}`}.`;
};

/** How the source was left, what it does by itself and what to do at it, in words. */
export const lostWords = (lost: LostSource): string => {
  const sent = lost.setPoint === null ? "It was sent nowhere yet" : `It was last sent to ${lost.setPoint} °C`;
  const output = `its output was last switched ${lost.output ? "on" : "off"}`;
  const seen =
    lost.temperature === null || lost.seen === null
      ? "its own temperature is not known"
      : `it read ${lost.temperature.toFixed(1)} °C ${minutes(Math.max(0, lost.at - lost.seen))} before`;
  return [`${sent}, ${output}, and ${seen}.`, aloneWords(lost), lost.atDevice]
    .filter((words) => words !== "")
    .join(" ");
};

/** The loss, for the log: how the source was left, as far as is known. Said once, until it is found again. */
export const sourceLost = (state: EngineState, at: number, fault: FaultValue): readonly EventDraft[] =>
  state.contact === null ? [lostDraft(state, at, fault)] : [];
