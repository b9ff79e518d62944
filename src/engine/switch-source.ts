import type { EventDraft } from "#calibration";
import { setsByHand } from "./hand/hand-state.ts";
import type { Decision } from "./inputs.ts";
import type { EngineState } from "./state.ts";

/**
 * The source switched on or off: event and effect. A source without a wire is switched by a person, who is told to; the log
 * says nothing that nobody did.
 */
export const switchSource = ({ job }: Pick<EngineState, "job">, at: number, on: boolean): Decision => {
  if (setsByHand(job)) return { events: [], effects: [] };
  const event: EventDraft = { kind: "output-switched", at, on };
  return { events: [event], effects: [{ kind: "switch-output", on }] };
};
