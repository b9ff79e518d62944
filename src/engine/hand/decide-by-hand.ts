import { isTyped, limitsOf, readingsByHand, type EventDraft } from "#calibration";
import { isSaturated, nameUnreadable } from "#diagnosis";
import { advance, pauseWithFault } from "../advance.ts";
import { usualTime } from "../finish.ts";
import { foresee } from "../foresee.ts";
import { nothing, type Decision } from "../inputs.ts";
import { settlingTarget } from "../settling-target.ts";
import { switchSource } from "../switch-source.ts";
import { settledEvent } from "../settled-event.ts";
import { currentStop, type EngineState, type PlannedStop } from "../state.ts";
import { isNear } from "./follow-hand.ts";
import {
  awaitsSetPoint,
  channelName,
  handItems,
  isHandItem,
  outstanding,
  readsByHand,
  steadyChannel,
  typedChannels,
} from "./hand-state.ts";
import type { HandState } from "./hand.ts";
import { isEnough, measuredByHand, restingWindow, roundsDone, type HandLook } from "./judge-by-hand.ts";

/** A wired probe that does not come to rest is asked about all the same after this share of the longest wait. */
const patience = 0.5;
/** With nothing wired the reference is looked at after this share of the time that the way usually takes, s at least. */
const [earlyLook, leastLook] = [0.6, 120];
/** So many times the readings asked for, and it drifts still: somebody must look. */
const mostRounds = 4;

/** When the first reading is worth while: once a wired probe rests, or when the way is usually over. */
const mayBegin = (state: EngineState, hand: HandState, at: number): boolean => {
  if (state.setPoint === null || hand.confirmedAt === null) return false;
  const { longestWait } = state.job.procedure.settling;
  if (steadyChannel(state.job) === null) return at >= hand.confirmedAt + firstLook(state);
  const near = steadyChannel(state.job) !== state.job.kit.reference.channel || isNear(state);
  return near && (hand.steady?.ready === true || at - hand.confirmedAt > patience * longestWait);
};

const firstLook = ({ learnt, setPoint }: EngineState): number => {
  const travel = learnt.from === null ? 0 : Math.abs((setPoint?.temperature ?? 0) - learnt.from);
  return Math.max(leastLook, earlyLook * usualTime(travel));
};

/** So many looks at the reference alone, and the others are read beside it all the same: the few readings judge the rest. */
const mostLooks = 6;

/** A typed reference is there, and its last two looks differ by no more than the point may drift. Nothing to ask of a wired one. */
const referenceRests = (state: EngineState, hand: HandState): boolean => {
  const { channel } = state.job.kit.reference;
  if (!isTyped(state.job.bench, channel)) return true;
  if (!isNear(state)) return false;
  if (hand.begunAt !== null) return true;
  const looks = hand.readings.filter(
    (each) => each.channel === channel && each.time >= hand.since && each.withdrawn === null,
  );
  const [before, last] = looks.slice(-2).map(({ temperature }) => temperature ?? Number.NaN);
  if (last === undefined || before === undefined) return false;
  const temperature = state.setPoint?.temperature ?? 0;
  const target = Math.min(...handItems(state.job).map((item) => settlingTarget(state.job, item, temperature)));
  return Math.abs(last - before) <= target || looks.length >= mostLooks;
};

/** Channels of the next round. A typed reference is looked at first, alone, until it rests: one reading instead of all. */
const nextRound = (state: EngineState, hand: HandState): readonly string[] =>
  referenceRests(state, hand) ? typedChannels(state.job) : [state.job.kit.reference.channel];

/** When the next round is due; null while one is under way. */
export const nextRoundAt = (state: EngineState): number | null => {
  const { hand } = state;
  if (hand === null || hand.asked === null || outstanding(hand).length > 0) return null;
  const { interval } = readingsByHand(state.job);
  const last = hand.readings.at(-1)?.time ?? hand.asked.at;
  // Somebody who was late is not hurried: half an interval lies between two rounds at least.
  return Math.max(hand.asked.at + interval, last + interval / 2);
};

const ask = (stop: PlannedStop, at: number, channels: readonly string[]): EventDraft[] =>
  channels.length === 0
    ? []
    : [{ kind: "reading-asked", at, pass: stop.pass, point: stop.point, channels: [...channels] }];

/** A typed reading that gives no temperature, though it was confirmed: the signal is named, as a wired one would be. */
const unreadable = (state: EngineState, hand: HandState, at: number): EventDraft[] => {
  const last = hand.readings.at(-1);
  const item = state.job.items.find(({ channel }) => channel === last?.channel);
  if (last === undefined || item === undefined || last.temperature !== null || last.withdrawn !== null) return [];
  if (last.enteredAt < hand.since || (item.sensor.kind === "loop" && isSaturated(last.value) && !isNear(state)))
    return [];
  const junctionChannel = item.coldJunction?.kind === "channel" ? item.coldJunction.channel : null;
  const junction = junctionChannel === null ? undefined : state.latest[junctionChannel]?.signal;
  const converted = state.converter.item(item.id, last.value, junction);
  if (converted.ok) return [];
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  const finding = nameUnreadable(state.job, {
    item,
    fault: converted.fault,
    signal: last.value,
    reference,
    junction: junction ?? 0,
  });
  return pauseWithFault(at, { code: finding.code, message: finding.message, item: item.id, channel: item.channel });
};

/** A confirmed reading beyond what kit or item may see: the heat is taken away, or a person is told to. */
const beyondLimits = (state: EngineState, hand: HandState, at: number): Decision => {
  const last = hand.readings.at(-1);
  if (last === undefined || last.temperature === null || last.withdrawn !== null || last.enteredAt < hand.since)
    return nothing;
  const { job } = state;
  const { hottest, coldest, overshoot } = limitsOf(job);
  const over = last.temperature > hottest.value + overshoot;
  // What begins in a room that is colder than the lowest point is not too cold yet.
  const lowest = Math.min(coldest.value, job.conditions.ambientTemperature.value) - overshoot;
  if (!over && last.temperature >= lowest) return nothing;
  const off = switchSource(state, at, false);
  const done = off.effects.length > 0 ? "The source has been switched off." : "Switch the source off now.";
  const beyond = over ? hottest : coldest;
  const limit = `${over ? "above" : "below"} the limit of ${beyond.value} °C that ${beyond.whose} sets`;
  const message = `${channelName(job, last.channel)} was read as ${last.temperature.toFixed(1)} °C, ${limit}. ${done} Find out why before going on.`;
  return {
    events: [...off.events, ...pauseWithFault(at, { code: "run.limit", message, channel: last.channel })],
    effects: off.effects,
  };
};

const tooSlow = (state: EngineState, hand: HandState, at: number): EventDraft[] => {
  const { longestWait } = state.job.procedure.settling;
  const { count } = readingsByHand(state.job);
  const temperature = state.setPoint?.temperature ?? 0;
  const missing = outstanding(hand);
  if (hand.asked !== null && missing.length > 0 && at - hand.asked.at > longestWait) {
    const names = missing.map((channel) => channelName(state.job, channel)).join(" and ");
    const message = `Nobody has typed a reading of ${names} for ${Math.round(longestWait / 60)} minutes. Resume when somebody is there: the point is approached anew.`;
    return pauseWithFault(at, { code: "run.unattended", message });
  }
  const drifts = roundsDone(state, hand) >= mostRounds * count && missing.length === 0;
  const waits = hand.begunAt === null && hand.confirmedAt !== null && at - hand.confirmedAt > longestWait;
  if (!drifts && !waits) return [];
  const message = drifts
    ? `${temperature} °C still drifts after ${roundsDone(state, hand)} readings by hand. Look at insertion and source; then resume to approach it anew, or skip the point with a reason.`
    : `${temperature} °C has not settled within ${Math.round(longestWait / 60)} minutes. Check that the source heats or cools, and how deep the probes are inserted. Then resume to wait longer, or skip the point with a reason.`;
  return pauseWithFault(at, { code: "settling.too-slow", message });
};

/** Items with a wire beside typed ones are ready by the ordinary judgement, at the end of the window as at its beginning. */
const wiredReady = (state: EngineState): boolean =>
  state.job.items.every(({ id }) => isHandItem(state.job, id) || state.settling[id]?.ready === true);

/** Evidence and window of the point, and what comes after it. */
export const finishByHand = (
  state: EngineState,
  stop: PlannedStop,
  looks: readonly HandLook[],
  at: number,
): Decision => {
  const wired = state.job.items.flatMap((item): EventDraft[] => {
    const settling = state.settling[item.id];
    if (isHandItem(state.job, item.id) || settling === undefined || settling.latest === null) return [];
    return [settledEvent(stop, item, settling, settling.latest, at)];
  });
  const events = [...wired, ...measuredByHand(state, stop, looks, at)];
  const next = advance(foresee(state, events), at);
  return { events: [...events, ...next.events], effects: next.effects };
};

/**
 * What the moment, or a reading that was just typed, leads to at a point that is read by hand: a round asked for, the point
 * measured, or a pause. Every round is in the log, so that a replay asks the same.
 */
export const decideByHand = (state: EngineState, at: number): Decision => {
  const { hand } = state;
  const stop = currentStop(state);
  if (hand === null || stop === undefined || state.paused !== null || state.ended !== null) return nothing;
  if (!readsByHand(state.job) || awaitsSetPoint(state)) return nothing;
  const beyond = beyondLimits(state, hand, at);
  if (beyond.events.length > 0) return beyond;
  const trouble = [...unreadable(state, hand, at), ...tooSlow(state, hand, at)];
  if (trouble.length > 0) return { events: trouble, effects: [] };
  if (hand.question !== null) return nothing;
  if (hand.asked === null)
    return mayBegin(state, hand, at) && wiredReady(state)
      ? { events: ask(stop, at, nextRound(state, hand)), effects: [] }
      : nothing;
  if (outstanding(hand).length > 0) return nothing;
  // The reference alone was looked at, and it is there: the others follow at once.
  if (hand.begunAt === null && referenceRests(state, hand)) {
    const others = typedChannels(state.job).filter((channel) => channel !== state.job.kit.reference.channel);
    if (others.length > 0) return { events: ask(stop, at, others), effects: [] };
  }
  const looks = hand.begunAt === null ? null : restingWindow(state, hand, at);
  if (looks !== null && isEnough(state, hand, looks) && wiredReady(state)) return finishByHand(state, stop, looks, at);
  const due = nextRoundAt(state);
  return due !== null && at >= due - 1e-9 ? { events: ask(stop, at, nextRound(state, hand)), effects: [] } : nothing;
};
