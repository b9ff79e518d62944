import type { EventDraft } from "#calibration";
import type { PatternRemark } from "#diagnosis";
import { nothing, type Decision } from "./inputs.ts";
import { engineName, type EngineState } from "./state.ts";

/**
 * What the errors so far may mean goes into the log while the point can still be repeated: as a fault seen where it is sure enough,
 * as a note where it is not. The run goes on; a person decides. After the end the result's page says it.
 */
export const patternSeen = (state: EngineState, at: number, remarks: readonly PatternRemark[]): Decision => {
  if (state.ended !== null) return nothing;
  const events = remarks.map(({ item, sure, message }): EventDraft =>
    sure
      ? { kind: "fault-seen", at, code: "pattern.suspected", message, item }
      : { kind: "note-added", at, text: message, by: engineName },
  );
  return { events, effects: [] };
};
