import type { FaultValue } from "#fault";
import type { Halt } from "./heat-guard.ts";
import type { EngineView } from "./view.ts";

const ownSwitch = "Switch it off at its own switch now, and stay with it until it is.";

const sourceWords = ({ answer }: Halt): { readonly found: string; readonly now: string } => {
  if (answer === null)
    return {
      found: "The heat source was told to switch off and has not answered yet.",
      now: "Look at its display; if it still heats, switch it off at its own switch.",
    };
  if (answer.ok) return { found: "The heat source is off.", now: "Let it cool before anything is touched." };
  return { found: `The heat source could not be switched off: ${answer.fault.message}`, now: ownSwitch };
};

/** What is shown between somebody's stop and its line in the log: what the source answered, and whether anything is recorded. */
export const haltedView = (view: EngineView, halt: Halt, journal: FaultValue | null): EngineView => {
  const { found, now } = sourceWords(halt);
  const recorded = journal === null ? "" : ` Nothing can be recorded yet: ${journal.message}`;
  return {
    ...view,
    stage: "paused",
    commands: ["stop"],
    output: view.output && halt.answer?.ok !== true,
    sentence: { happening: `Stopped by ${halt.by}. ${found}${recorded}`, now },
  };
};
