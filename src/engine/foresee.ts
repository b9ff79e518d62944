import type { EventDraft, RunEvent } from "#calibration";
import { evolve } from "./evolve.ts";
import type { EngineState } from "./state.ts";

/** The state after events that are about to be logged. Their numbers come later, and do not matter to the state. */
export const foresee = (state: EngineState, drafts: readonly EventDraft[]): EngineState =>
  drafts.reduce((next, draft) => evolve(next, { ...draft, n: 1 } as RunEvent), state);
