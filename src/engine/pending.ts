import type { EventDraft } from "#calibration";
import type { ChannelAnswer } from "./ports.ts";
import { channelsOf, type EngineState, type PendingChannel, type Volatile } from "./state.ts";

/** Readings are gathered for this long before they become an event of the log, s. */
export const gatheringTime = 10;

const empty: PendingChannel = { times: [], values: [], wire: [] };

/** Adds the good answers to the readings that wait for the log, and counts each channel's troubles in a row. */
export const gather = (volatile: Volatile, answers: readonly ChannelAnswer[]): Volatile => {
  const pending = { ...volatile.pending };
  const troubles = { ...volatile.troubles };
  let since = volatile.pendingSince;
  for (const { channel, time, outcome } of answers) {
    if (!outcome.ok) {
      troubles[channel] = (troubles[channel] ?? 0) + 1;
      continue;
    }
    troubles[channel] = 0;
    const waiting = pending[channel] ?? empty;
    pending[channel] = {
      times: [...waiting.times, time],
      values: [...waiting.values, outcome.value.value],
      wire: [...waiting.wire, outcome.value.wire],
    };
    since = since === null ? time : Math.min(since, time);
  }
  return { ...volatile, pending, troubles, pendingSince: since };
};

/** The waiting readings as events, the reference's first. */
export const blockEvents = (state: EngineState, volatile: Volatile, at: number): EventDraft[] =>
  channelsOf(state.job).flatMap((channel) => {
    const waiting = volatile.pending[channel];
    if (waiting === undefined || waiting.times.length === 0) return [];
    return [
      {
        kind: "readings-taken" as const,
        at,
        channel,
        unit: state.job.bench.channels[channel]!.unit,
        times: [...waiting.times],
        values: [...waiting.values],
        wire: [...waiting.wire],
      },
    ];
  });
