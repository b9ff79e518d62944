import { judgeBlocks, type Judgement } from "./judgement.ts";
import { foretell } from "./forecast.ts";
import { blockLength, confirmationGap, longestPast } from "./lengths.ts";
import { findRules, watchRules } from "./plain-rules.ts";
import { slowTailOf } from "./slow-tail.ts";
import { addToBlock, blockIsFull, closeBlock, minuteIsFull, type PairedReading } from "./block.ts";
import { judgementIsDue, type SettlingState } from "./state.ts";
import { travelOn } from "./travel.ts";

const longestHistory = 40;

const judged = (state: SettlingState, time: number): SettlingState => {
  if (!judgementIsDue(state, time)) return state;
  const judgement = judgeBlocks(state, state.options, slowTailOf(state.minutes));
  if (judgement === null) return state;
  const holds = judgement.ratio <= 1;
  const readySince = holds ? (state.readySince ?? time) : null;
  const ownReady = readySince !== null && time - readySince >= confirmationGap - 1e-9;
  return {
    ...state,
    ...bind(state, ownReady, judgement),
    lastJudged: time,
    readySince,
    ownReady,
    marks: [...state.marks.slice(1 - longestHistory), { time, ratio: judgement.ratio }],
  };
};

/** What binds: our own judgement, the rules of a written procedure, or both; and what is in the way then. */
const bind = (
  { options, ruleWatch }: SettlingState,
  ownReady: boolean,
  judgement: Judgement,
): Pick<SettlingState, "ready" | "latest"> => {
  const { rules, judgement: binding = "both" } = options;
  if (rules === undefined || ruleWatch === null || binding === "own") return { ready: ownReady, latest: judgement };
  const hold = findRules(ruleWatch, rules).every((finding) => finding.holds);
  const inTheWay =
    hold || (binding === "both" && judgement.ratio > 1) ? judgement.inTheWay : [{ term: "rule" as const, share: 1 }];
  return { ready: hold && (binding === "rules" || ownReady), latest: { ...judgement, inTheWay } };
};

/** Takes the source's own temperature into account, °C, where a rule of a written procedure looks at it. */
export const observeSource = (state: SettlingState, time: number, source: number): SettlingState =>
  state.options.rules === undefined || state.ruleWatch === null
    ? state
    : { ...state, ruleWatch: watchRules(state.ruleWatch, state.options.rules, { time, source }, undefined) };

const minuteOn = (state: SettlingState, reading: PairedReading): Pick<SettlingState, "minutes" | "openMinute"> => {
  const { minutes, openMinute } = state;
  if (openMinute === null || !minuteIsFull(openMinute, reading.time)) {
    return { minutes, openMinute: addToBlock(openMinute, reading) };
  }
  return { minutes: [...minutes, closeBlock(openMinute)].slice(-longestPast), openMinute: addToBlock(null, reading) };
};

const rulesOn = (
  { options, ruleWatch }: SettlingState,
  { time, reference, item }: PairedReading,
): Pick<SettlingState, "ruleWatch"> => ({
  ruleWatch:
    options.rules === undefined || ruleWatch === null
      ? null
      : watchRules(ruleWatch, options.rules, { time, reference, item, difference: item - reference }, options.setPoint),
});

/**
 * Takes one paired reading (item and reference at the same moment, °C) into account. The work is bounded, whatever the
 * length of the wait. A reading that is not finite, or older than the latest, changes nothing.
 */
export const observe = (state: SettlingState, reading: PairedReading): SettlingState => {
  const { time, reference, item } = reading;
  if (!Number.isFinite(time) || !Number.isFinite(reference) || !Number.isFinite(item)) return state;
  const next = { ...state, begun: state.begun ?? time, ...minuteOn(state, reading), ...rulesOn(state, reading) };
  if (state.open === null) return { ...next, open: addToBlock(null, reading) };
  if (time < state.open.begun) return state;
  if (!blockIsFull(state.open, time)) return { ...next, open: addToBlock(state.open, reading) };
  const most = Math.ceil(state.options.longestWindow / blockLength);
  const block = closeBlock(state.open);
  const blocks = [...state.blocks, block].slice(-most);
  const travel = travelOn(state.travel, state.blocks.at(-1), block, time);
  return foretell(judged({ ...next, blocks, open: addToBlock(null, reading), travel }, time));
};
