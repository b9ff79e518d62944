import { limitsOf } from "#calibration";
import { pauseWithFault } from "./advance.ts";
import { setsByHand } from "./hand/hand-state.ts";
import { nothing, type Decision } from "./inputs.ts";
import type { EngineState } from "./state.ts";
import { switchSource } from "./switch-source.ts";

/** Until when somebody has to touch the run, s; null where there is no such limit or the source is off. */
export const attentionUntil = (state: EngineState): number | null => {
  const { unattended } = limitsOf(state.job);
  const { attendedAt } = state.volatile;
  if (unattended === null || attendedAt === null || !state.output || state.ended !== null) return null;
  return attendedAt + unattended.value;
};

/** Nobody was there for as long as the job allows: the source is switched off and the run paused. */
export const leftAlone = (state: EngineState, at: number): Decision => {
  const until = attentionUntil(state);
  if (until === null || at < until || (setsByHand(state.job) && state.paused !== null)) return nothing;
  const minutes = Math.round((until - state.volatile.attendedAt!) / 60);
  const off = switchSource(state, at, false);
  const done =
    off.effects.length > 0 ? "so the source was switched off" : "and the source has no wire: switch it off now";
  const message = `Nobody has touched the run for ${minutes} minutes, ${done}. Resume when somebody is there; the point is approached anew.`;
  return {
    events: [...off.events, ...pauseWithFault(at, { code: "run.unattended", message })],
    effects: off.effects,
  };
};
