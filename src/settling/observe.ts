import { judgeBlocks } from "./judgement.ts";
import { blockLength, confirmationGap, longestPast } from "./options.ts";
import { slowTailOf } from "./slow-tail.ts";
import { addToBlock, blockIsFull, closeBlock, minuteIsFull, type PairedReading } from "./block.ts";
import { judgementIsDue, type SettlingState } from "./state.ts";
import { travelOn } from "./travel.ts";

const longestHistory = 40;

const judged = (state: SettlingState, time: number): SettlingState => {
  if (!judgementIsDue(state, time)) return state;
  const judgement = judgeBlocks(state.blocks, state.options, state.travel, slowTailOf(state.minutes));
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

const minuteOn = (state: SettlingState, reading: PairedReading): Pick<SettlingState, "minutes" | "openMinute"> => {
  const { minutes, openMinute } = state;
  if (openMinute === null || !minuteIsFull(openMinute, reading.time)) {
    return { minutes, openMinute: addToBlock(openMinute, reading) };
  }
  return { minutes: [...minutes, closeBlock(openMinute)].slice(-longestPast), openMinute: addToBlock(null, reading) };
};

/**
 * Takes one paired reading (item and reference at the same moment, °C) into account. The work is bounded, whatever the
 * length of the wait. A reading that is not finite, or older than the latest, changes nothing.
 */
export const observe = (state: SettlingState, reading: PairedReading): SettlingState => {
  const { time, reference, item } = reading;
  if (!Number.isFinite(time) || !Number.isFinite(reference) || !Number.isFinite(item)) return state;
  const next = { ...state, begun: state.begun ?? time, ...minuteOn(state, reading) };
  if (state.open === null) return { ...next, open: addToBlock(null, reading) };
  if (time < state.open.begun) return state;
  if (!blockIsFull(state.open, time)) return { ...next, open: addToBlock(state.open, reading) };
  const most = Math.ceil(state.options.longestWindow / blockLength);
  const block = closeBlock(state.open);
  const blocks = [...state.blocks, block].slice(-most);
  return judged(
    {
      ...next,
      blocks,
      open: addToBlock(null, reading),
      travel: travelOn(state.travel, state.blocks.at(-1), block, time),
    },
    time,
  );
};
