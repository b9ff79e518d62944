import type { Judgement } from "#settling";
import { isSaturated, nameObstacle, nameSaturation, nameSignal, nameUnreadable, watchApproach } from "#diagnosis";
import { isTyped, type EventDraft, type Item } from "#calibration";
import { advance, pauseWithFault } from "./advance.ts";
import { leftAlone } from "./attention.ts";
import { breakOverrun } from "./decide-break.ts";
import { decideCheck } from "./decide-check.ts";
import { foresee } from "./foresee.ts";
import type { Decision } from "./inputs.ts";
import { decideByHand } from "./hand/decide-by-hand.ts";
import { awaitsSetPoint, readsByHand } from "./hand/hand-state.ts";
import { nearEnough } from "./near-enough.ts";
import { blockEvents, gather, gatheringTime } from "./pending.ts";
import type { ChannelAnswer } from "./ports.ts";
import { decideRamp } from "./ramp/decide-ramp.ts";
import { watchOverTemperature } from "./over-temperature.ts";
import { referenceFinding } from "./reference-health.ts";
import { isContactLost, sourceLost } from "./source-contact.ts";
import { settledEvent } from "./settled-event.ts";
import { slowTailWords } from "./slow-tail-words.ts";
import { channelsOf, currentStop, measuresEach, sourceChannelOf, type EngineState, type Volatile } from "./state.ts";
import { nextStepOfWay } from "./way.ts";

/** An instrument may fail this often in a row before the run pauses; each question was retried by its entry before. */
const troublesToPause = 3;

const troubleToPause = (
  state: EngineState,
  volatile: Volatile,
  answers: readonly ChannelAnswer[],
  at: number,
): EventDraft[] => {
  const source = sourceChannelOf(state.job);
  const failing = answers.filter(
    ({ channel, outcome }) => !outcome.ok && (volatile.troubles[channel] ?? 0) >= troublesToPause,
  );
  const silent = failing.find(({ channel }) => channel === source);
  if (silent !== undefined && !silent.outcome.ok && isContactLost(silent.outcome.fault) && state.contact === null) {
    // How the source was left comes first, whatever else is silent, and in a pause too.
    const { fault } = silent.outcome;
    const lost = sourceLost(state, at, fault);
    const said = { code: fault.code, message: fault.message, channel: silent.channel };
    return [
      ...lost,
      ...(state.paused === null ? pauseWithFault(at, said) : [{ kind: "fault-seen" as const, at, ...said }]),
    ];
  }
  if (state.paused !== null) return [];
  for (const { channel, outcome } of failing) {
    if (outcome.ok) continue;
    const item = state.job.items.find((candidate) => candidate.channel === channel);
    const signal = outcome.fault.code.startsWith("signal.");
    const fault = item !== undefined && signal ? nameSignal(item.tag, outcome.fault) : outcome.fault;
    return pauseWithFault(at, {
      code: fault.code,
      message: fault.message,
      channel,
      ...(item === undefined ? {} : { item: item.id }),
    });
  }
  return [];
};

const signalFinding = (state: EngineState, at: number): EventDraft[] => {
  const stop = currentStop(state);
  if (stop === undefined) return [];
  for (const item of state.job.items) {
    const latest = state.latest[item.channel];
    // What a person typed was asked back when it was typed.
    if (isTyped(state.job.bench, item.channel)) continue;
    if (latest !== undefined && latest.temperature === null) {
      // A transmitter outside its range, on the way to a point inside it, may give no temperature and is not at fault.
      if (item.sensor.kind === "loop" && isSaturated(latest.signal)) continue;
      const junctionChannel = item.coldJunction?.kind === "channel" ? item.coldJunction.channel : null;
      const junction = junctionChannel === null ? undefined : state.latest[junctionChannel]?.signal;
      if (junctionChannel !== null && junction === undefined) continue;
      const converted = state.converter.item(item.id, latest.signal, junction);
      if (converted.ok) continue;
      const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
      const finding = nameUnreadable(state.job, {
        item,
        fault: converted.fault,
        signal: latest.signal,
        reference,
        junction: junction ?? 0,
      });
      return pauseWithFault(at, { code: finding.code, message: finding.message, item: item.id, channel: item.channel });
    }
    const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
    const rests =
      state.settling[item.id]?.ready === true &&
      reference !== null &&
      Math.abs(reference - stop.temperature) <= nearEnough(stop.temperature);
    if (rests && item.sensor.kind === "loop" && latest !== undefined && isSaturated(latest.signal)) {
      const { code, message } = nameSaturation(item.tag, latest.signal, reference);
      return pauseWithFault(at, { code, message, item: item.id, channel: item.channel });
    }
    const track = state.tracks[item.id];
    if (track === undefined) continue;
    const [finding] = watchApproach(track, {
      tag: item.tag,
      thermocouple: item.sensor.kind === "thermocouple",
      loop: item.sensor.kind === "loop",
    });
    if (finding !== undefined)
      return pauseWithFault(at, { code: finding.code, message: finding.message, item: item.id, channel: item.channel });
  }
  return [];
};

/** What a point that was measured by a written rule alone carries on into its budget: said, because the rule does not. */
const ruleAloneWords = (tag: string, { remainder }: Judgement): string =>
  `${tag} is measured because the written rule is met. By our own judgement it is not settled yet: up to ` +
  `${remainder.toPrecision(2)} K may still be missing, and that stands in the uncertainty of the point.`;

/**
 * A point is settled when all its items are, at one moment: an item that was ready before the others and was disturbed
 * since would otherwise be measured on old evidence. Where each item is measured as it becomes ready, each has its own moment.
 */
const newlySettled = (state: EngineState, at: number): EventDraft[] => {
  const stop = currentStop(state);
  const each = measuresEach(state.job);
  if (stop === undefined || (!each && state.measuring !== null)) return [];
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  if (reference === null || Math.abs(reference - stop.temperature) > nearEnough(stop.temperature)) return [];
  const events: EventDraft[] = [];
  for (const item of state.job.items) {
    if (each && (stop.done.includes(item.id) || state.settled[item.id] !== undefined)) continue;
    const settling = state.settling[item.id];
    if (settling === undefined || !settling.ready || settling.latest === null) {
      if (each) continue;
      return [];
    }
    const { latest } = settling;
    events.push(settledEvent(stop, item, settling, latest, at));
    if (!settling.ownReady)
      events.push({ kind: "note-added", at, text: ruleAloneWords(item.tag, latest), by: "engine" });
    if (latest.slowTail !== null)
      events.push({ kind: "note-added", at, text: slowTailWords(item.tag, latest.slowTail), by: "engine" });
  }
  return events;
};

/** The window of the point, once every item has its readings; or the windows of single items, once each has its own. */
const measuredWindow = (state: EngineState, at: number): EventDraft[] => {
  const stop = currentStop(state);
  const { measuring } = state;
  if (stop === undefined || measuring === null) return [];
  const wanted = state.job.procedure.readings.count;
  const full = (item: string): boolean => (measuring.counts[item] ?? 0) >= wanted;
  const place = { kind: "point-measured" as const, at, pass: stop.pass, point: stop.point };
  if (measuresEach(state.job)) {
    return Object.keys(measuring.starts)
      .filter(full)
      .map((item) => ({ ...place, item, from: measuring.firsts[item]!, to: measuring.lasts[item]! }));
  }
  if (!state.job.items.every(({ id }) => full(id))) return [];
  const from = Math.min(...Object.values(measuring.firsts));
  const to = Math.max(...Object.values(measuring.lasts));
  return [{ ...place, from, to }];
};

/** What to say of a wait that was too long: a source that is not there yet first, then the item that is furthest from ready. */
const obstacleOf = (state: EngineState): string => {
  const wanted = state.setPoint?.temperature ?? null;
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  if (wanted !== null && reference !== null && Math.abs(reference - wanted) > nearEnough(wanted)) {
    return `The reference is still at ${reference.toFixed(1)} °C: check that the source heats or cools, and how deep the reference is inserted.`;
  }
  const slowest = state.job.items
    .filter(({ id }) => state.settled[id] === undefined)
    .map((item) => ({ item, latest: state.settling[item.id]?.latest ?? null }))
    .reduce((worst, each) => ((each.latest?.ratio ?? Infinity) > (worst.latest?.ratio ?? Infinity) ? each : worst));
  return nameObstacle(slowest.item.tag, slowest.latest);
};

const tooSlow = (state: EngineState, at: number): EventDraft[] => {
  const { longestWait } = state.job.procedure.settling;
  const stop = currentStop(state);
  if (state.setPoint === null || stop === undefined || at - state.setPoint.at <= longestWait) return [];
  if (state.job.items.every(({ id }) => state.settled[id] !== undefined || stop.done.includes(id))) return [];
  const message =
    `${state.setPoint.temperature} °C has not settled within ${Math.round(longestWait / 60)} minutes. ${obstacleOf(state)} ` +
    "Then resume to wait longer, or skip the point with a reason.";
  return pauseWithFault(at, { code: "settling.too-slow", message });
};

const blockIsDue = (state: EngineState, volatile: Volatile, at: number): boolean => {
  if (volatile.pendingSince === null) return false;
  if (at - volatile.pendingSince >= gatheringTime - 1e-9) return true;
  const { measuring } = state;
  if (measuring === null) return false;
  const wanted = state.job.procedure.readings.count;
  const full = (item: Item): boolean =>
    (measuring.counts[item.id] ?? 0) + (volatile.pending[item.channel]?.times.length ?? 0) >= wanted;
  const read = state.job.items.filter(({ id }) => measuring.starts[id] !== undefined);
  return measuresEach(state.job) ? read.some(full) : read.every(full);
};

/** Nothing but the time has changed: what is done by hand may be due, or a break may be over. */
const atRest = (state: EngineState, at: number): Decision =>
  state.paused === null ? decideByHand(state, at) : breakOverrun(state, at);

/** What the answers of one round of questions lead to. */
export const decideAnswers = (before: EngineState, at: number, answers: readonly ChannelAnswer[]): Decision => {
  if (before.ended !== null || !before.begun) return { events: [], effects: [], volatile: before.volatile };
  const over = watchOverTemperature(before, answers);
  let volatile: Volatile = {
    ...gather(before.volatile, answers),
    beyond: over.beyond,
    attendedAt: before.volatile.attendedAt ?? at,
  };
  const urgent = over.decide?.(before, at) ?? leftAlone({ ...before, volatile }, at);
  if (urgent.events.length > 0) {
    const blocks = blockEvents(before, volatile, at);
    volatile = { ...volatile, pending: {}, pendingSince: null };
    return { events: [...blocks, ...urgent.events], effects: urgent.effects, volatile };
  }
  const trouble = troubleToPause(before, volatile, answers, at);
  // Where nothing has a wire the answers are empty, and only the time goes on.
  if (trouble.length === 0 && channelsOf(before.job).length === 0) return atRest(before, at);
  if (trouble.length === 0 && !blockIsDue(before, volatile, at)) return { events: [], effects: [], volatile };
  const events: EventDraft[] = blockEvents(before, volatile, at);
  volatile = { ...volatile, pending: {}, pendingSince: null };
  if (trouble.length > 0) return { events: [...events, ...trouble], effects: [], volatile };

  let state = foresee(before, events);
  if (state.paused !== null) {
    const overrun = breakOverrun(state, at);
    return { events: [...events, ...overrun.events], effects: overrun.effects, volatile };
  }
  const take = (drafts: readonly EventDraft[]): boolean => {
    events.push(...drafts);
    state = foresee(state, drafts);
    return drafts.length > 0;
  };
  if (take(referenceFinding(state, at))) return { events, effects: [], volatile };
  const step = nextStepOfWay(state, at);
  take(step.events);
  if (state.ramp !== null && step.events.length === 0) {
    const ramped = decideRamp(state, at);
    return { events: [...events, ...ramped.events], effects: ramped.effects, volatile };
  }
  if (take(signalFinding(state, at))) return { events, effects: step.effects, volatile };
  const check = decideCheck(state, at);
  if (take(check.events) || check.effects.length > 0)
    return { events, effects: [...step.effects, ...check.effects], volatile };
  if (awaitsSetPoint(state)) return { events, effects: step.effects, volatile };
  if (readsByHand(state.job)) {
    const byHand = decideByHand(state, at);
    return { events: [...events, ...byHand.events], effects: [...step.effects, ...byHand.effects], volatile };
  }
  if (take(measuredWindow(state, at)) && currentStop(state) === undefined) {
    const next = advance(state, at);
    return { events: [...events, ...next.events], effects: [...step.effects, ...next.effects], volatile };
  }
  take(newlySettled(state, at));
  take(tooSlow(state, at));
  return { events, effects: step.effects, volatile };
};
