import type { RunEvent } from "#calibration";
import { inPercent } from "./sureness.ts";
import { diagnoseRun } from "./diagnose-run.ts";

/** What the errors so far say of an item, for the log of a run that goes on. */
export interface PatternRemark {
  readonly item: string;
  /** Sure enough to be recorded as a fault; otherwise it is advice. */
  readonly sure: boolean;
  readonly message: string;
}

/** Probability of one fault, or of those that cannot be told apart, from which it is recorded as seen. Ours. */
const sureFrom = 0.95;

const opening = (words: string): string => `The pattern of errors speaks for this: ${words}`;

/**
 * What is to be said after a point, and was not said before: suspicions whose words do not stand in the log yet. Empty for
 * items that nothing is suspected of.
 */
export const patternRemarks = (log: readonly RunEvent[]): readonly PatternRemark[] => {
  const pass = log.findLast((event) => event.kind === "pass-begun");
  const faults = log.flatMap((event) => (event.kind === "fault-seen" ? [event.message] : []));
  const advice = log.flatMap((event) => (event.kind === "note-added" ? [event.text] : []));
  return diagnoseRun(log).flatMap((diagnosis) => {
    const [first] = diagnosis.suspicions;
    if (diagnosis.pass !== pass?.pass || diagnosis.verdict !== "suspected" || first === undefined) return [];
    const words = opening(first.words);
    const named = diagnosis.suspicions.slice(0, diagnosis.together);
    const whole = named.reduce((sum, { probability }) => sum + probability, 0);
    const sure = whole >= sureFrom && first.fault !== "none-of-these";
    // Advice that has become sure is said once more, as a fault.
    const said = sure ? faults : [...faults, ...advice];
    if (said.some((text) => text.startsWith(words))) return [];
    const list = named.map(({ words: clause, probability }) => `${clause} (${inPercent(probability)})`).join("; or ");
    const message = `${opening(list)}. ${first.check} Two-minute test: ${first.test}`;
    return [{ item: diagnosis.item, sure, message }];
  });
};
