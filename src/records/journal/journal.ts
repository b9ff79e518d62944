import type { EventDraft, RunEvent } from "#calibration";

/**
 * Where events become durable. `append` resolves only when the events are safe against a crash, and gives them their
 * numbers; it rejects with a Fault when that cannot be, and then nothing of the call was appended.
 */
export interface Journal {
  append(drafts: readonly EventDraft[]): Promise<readonly RunEvent[]>;
}
