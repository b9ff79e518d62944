import { follow } from "./following.ts";
import { judgeBlocks } from "./judgement.ts";
import { blockLength, confirmationGap } from "./options.ts";
import {
  addToBlock,
  blockIsFull,
  closeBlock,
  judgementIsDue,
  type PairedReading,
  type SettlingState,
} from "./state.ts";

const longestHistory = 40;

const judged = (state: SettlingState, time: number): SettlingState => {
  if (!judgementIsDue(state, time)) return state;
  const judgement = judgeBlocks(state.blocks, state.options, state.following);
  if (judgement === null) return state;
  const holds = judgement.ratio <= 1;
  const readySince = holds ? (state.readySince ?? time) : null;
  return {
    ...state,
    latest: judgement,
    lastJudged: time,
    readySince,
    ready: readySince !== null && time - readySince >= confirmationGap - 1e-9,
    marks: [...state.marks.slice(1 - longestHistory), { time, ratio: judgement.ratio }],
  };
};

/**
 * Takes one paired reading (item and reference at the same moment, °C) into account. The work is constant, whatever the
 * length of the wait. A reading that is not finite, or older than the latest, changes nothing.
 */
export const observe = (state: SettlingState, reading: PairedReading): SettlingState => {
  const { time, reference, item } = reading;
  if (!Number.isFinite(time) || !Number.isFinite(reference) || !Number.isFinite(item)) return state;
  const begun = state.begun ?? time;
  if (state.open === null) return { ...state, begun, open: addToBlock(null, reading) };
  if (time < state.open.begun) return state;
  if (!blockIsFull(state.open, time)) return { ...state, begun, open: addToBlock(state.open, reading) };
  const most = Math.ceil(state.options.longestWindow / blockLength);
  const blocks = [...state.blocks, closeBlock(state.open)].slice(-most);
  const next = { ...state, begun, blocks, open: addToBlock(null, reading) };
  return judged({ ...next, following: follow(state.following, blocks) }, time);
};
