import { findRules, type Judgement, type SettlingState } from "#settling";
import { isSaturated, nameObstacle, nameSaturation, nameSignal, nameUnreadable, watchApproach } from "#diagnosis";
import type { EventDraft, Item, SettlingEvidence } from "#calibration";
import { advance, pauseWithFault } from "./advance.ts";
import { breakOverrun } from "./decide-break.ts";
import { decideCheck } from "./decide-check.ts";
import { foresee } from "./foresee.ts";
import type { Decision } from "./inputs.ts";
import { nearEnough } from "./near-enough.ts";
import { blockEvents, gather, gatheringTime } from "./pending.ts";
import type { ChannelAnswer } from "./ports.ts";
import { decideRamp } from "./ramp/decide-ramp.ts";
import { referenceFinding } from "./reference-health.ts";
import { slowTailWords } from "./slow-tail-words.ts";
import { currentStop, measuresEach, type EngineState, type PlannedStop, type Volatile } from "./state.ts";

/** An instrument may fail this often in a row before the run pauses; each question was retried by its entry before. */
const troublesToPause = 3;
/** How far the reference may overshoot a limit before the heat is taken away, K. */
const overshootAllowed = 5;

const troubleToPause = (
  state: EngineState,
  volatile: Volatile,
  answers: readonly ChannelAnswer[],
  at: number,
): EventDraft[] => {
  if (state.paused !== null) return [];
  for (const { channel, outcome } of answers) {
    if (outcome.ok || (volatile.troubles[channel] ?? 0) < troublesToPause) continue;
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

/** A hard limit of reference or item that the reference says is being left, either way. The source's own display is not asked. */
const overLimit = (state: EngineState, at: number): Decision | null => {
  const temperature = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  if (temperature === null || !state.output) return null;
  const ranges = [state.job.kit.reference.range, ...state.job.items.map((item) => item.limits)];
  const highest = Math.min(...ranges.map(({ maximum }) => maximum));
  const lowest = Math.max(...ranges.map(({ minimum }) => minimum));
  if (temperature <= highest + overshootAllowed && temperature >= lowest - overshootAllowed) return null;
  const limit = temperature > highest ? `above the limit of ${highest} °C` : `below the limit of ${lowest} °C`;
  const message =
    `The reference reads ${temperature.toFixed(1)} °C, ${limit} for this kit and item. ` +
    "The source has been switched off. Find out why it ran away, or what is wrong with the reference, before going on.";
  return {
    events: [{ kind: "output-switched", at, on: false }, ...pauseWithFault(at, { code: "run.limit", message })],
    effects: [{ kind: "switch-output", on: false }],
  };
};

const signalFinding = (state: EngineState, at: number): EventDraft[] => {
  const stop = currentStop(state);
  if (stop === undefined) return [];
  for (const item of state.job.items) {
    const latest = state.latest[item.channel];
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

/** How the rules of a written procedure stood, where it has any. */
const ruleEvidence = ({ options, ruleWatch, ownReady }: SettlingState): Partial<SettlingEvidence> =>
  options.rules === undefined || ruleWatch === null
    ? {}
    : { judgement: options.judgement ?? "both", ownReady, rules: [...findRules(ruleWatch, options.rules)] };

/** What a point that was measured by a written rule alone carries on into its budget: said, because the rule does not. */
const ruleAloneWords = (tag: string, { remainder }: Judgement): string =>
  `${tag} is measured because the written rule is met. By our own judgement it is not settled yet: up to ` +
  `${remainder.toPrecision(2)} K may still be missing, and that stands in the uncertainty of the point.`;

const settledEvent = (
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

/** What the answers of one round of questions lead to. */
export const decideAnswers = (before: EngineState, at: number, answers: readonly ChannelAnswer[]): Decision => {
  if (before.ended !== null || !before.begun) return { events: [], effects: [], volatile: before.volatile };
  let volatile = gather(before.volatile, answers);
  const trouble = troubleToPause(before, volatile, answers, at);
  if (trouble.length === 0 && !blockIsDue(before, volatile, at)) return { events: [], effects: [], volatile };
  const events: EventDraft[] = blockEvents(before, volatile, at);
  volatile = { ...volatile, pending: {}, pendingSince: null };
  if (trouble.length > 0) return { events: [...events, ...trouble], effects: [], volatile };

  let state = foresee(before, events);
  const over = overLimit(state, at);
  if (over !== null) return { events: [...events, ...over.events], effects: over.effects, volatile };
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
  if (state.ramp !== null) {
    const ramped = decideRamp(state, at);
    return { events: [...events, ...ramped.events], effects: ramped.effects, volatile };
  }
  if (take(signalFinding(state, at))) return { events, effects: [], volatile };
  const check = decideCheck(state, at);
  if (take(check.events) || check.effects.length > 0) return { events, effects: check.effects, volatile };
  if (take(measuredWindow(state, at)) && currentStop(state) === undefined) {
    const next = advance(state, at);
    return { events: [...events, ...next.events], effects: next.effects, volatile };
  }
  take(newlySettled(state, at));
  take(tooSlow(state, at));
  return { events, effects: [], volatile };
};
