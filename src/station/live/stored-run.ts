import type { RunView } from "#contract";
import { viewOf, type EngineState } from "#engine";

const brokenOff = {
  happening: "This run was broken off: the station stopped while it went on. Everything that was read is in its log.",
  now: "Look at the bench, then resume: the present point is approached anew.",
};

/** What can be asked of a run that is broken off beside going on: it is taken up for it, paused. */
const whilePaused: ReadonlySet<string> = new Set(["repeat-point", "add-point", "swap-points", "replace-kit"]);

/** What a run that nobody conducts shows: as its log leaves it. One that did not end is paused, and can be gone on with. */
export const storedView = (state: EngineState): RunView =>
  brokenOffView(structuredClone({ ...viewOf(state), speed: 1 }) as RunView);

/** The same of the last that was seen of a run whose conductor is gone. */
export const brokenOffView = (view: RunView): RunView => {
  if (view.stage === "ended") return { ...view, commands: [] };
  return {
    ...view,
    stage: "paused",
    sentence: brokenOff,
    settling: [],
    readings: null,
    commands:
      view.stage === "ready"
        ? ["start", "stop"]
        : ["resume", "skip-point", ...view.commands.filter((command) => whilePaused.has(command)), "stop"],
  };
};
