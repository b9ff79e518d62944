import { findRules, type Judgement, type SettlingState } from "#settling";
import type { EventDraft, Item, SettlingEvidence } from "#calibration";
import type { PlannedStop } from "./state.ts";

/** How the rules of a written procedure stood, where it has any. */
const ruleEvidence = ({ options, ruleWatch, ownReady }: SettlingState): Partial<SettlingEvidence> =>
  options.rules === undefined || ruleWatch === null
    ? {}
    : { judgement: options.judgement ?? "both", ownReady, rules: [...findRules(ruleWatch, options.rules)] };

/** That an item is ready at a point, with the evidence. */
export const settledEvent = (
  stop: PlannedStop,
  item: Item,
  settling: SettlingState,
  judgement: Judgement,
  at: number,
): EventDraft => ({
  kind: "point-settled",
  at,
  pass: stop.pass,
  point: stop.point,
  item: item.id,
  evidence: {
    from: judgement.window.from,
    to: judgement.window.to,
    estimate: judgement.estimate,
    remainder: judgement.remainder,
    standardUncertainty: judgement.standardUncertainty,
    slope: judgement.slope,
    slopeStandardError: judgement.slopeStandardError,
    autocorrelation: judgement.autocorrelation,
    target: settling.options.target,
    U: judgement.U,
    ...ruleEvidence(settling),
  },
});
