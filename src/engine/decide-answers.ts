import type { Judgement } from "#settling";
import { isSaturated, nameObstacle, nameSaturation, nameSignal, watchApproach } from "#diagnosis";
import type { EventDraft, Item } from "#calibration";
import { advance, pauseWithFault } from "./advance.ts";
import { foresee } from "./foresee.ts";
import type { Decision } from "./inputs.ts";
import { blockEvents, gather, gatheringTime } from "./pending.ts";
import type { ChannelAnswer } from "./ports.ts";
import { slowTailWords } from "./slow-tail-words.ts";
import { currentStop, type EngineState, type PlannedStop, type Volatile } from "./state.ts";

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
    "The source has been switched off. Find out why it ran away before going on.";
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
      const finding = nameSignal(item.tag, converted.fault);
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

/**
 * How far the reference may be from the set point for the point to be this point, K. Sources are off by a degree or two at
 * their own display; a source that never moved, or that is still on its way, is further off.
 */
export const nearEnough = (setPoint: number): number => Math.max(3, 0.02 * Math.abs(setPoint));

const settledEvent = (stop: PlannedStop, item: Item, judgement: Judgement, target: number, at: number): EventDraft => ({
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
    target,
  },
});

/**
 * A point is settled when all its items are, at one moment: an item that was ready before the others and was disturbed
 * since would otherwise be measured on old evidence.
 */
const newlySettled = (state: EngineState, at: number): EventDraft[] => {
  const stop = currentStop(state);
  if (stop === undefined || state.measuring !== null) return [];
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  if (reference === null || Math.abs(reference - stop.temperature) > nearEnough(stop.temperature)) return [];
  const events: EventDraft[] = [];
  for (const item of state.job.items) {
    const settling = state.settling[item.id];
    if (settling === undefined || !settling.ready || settling.latest === null) return [];
    const { latest, options } = settling;
    events.push(settledEvent(stop, item, latest, options.target, at));
    if (latest.slowTail !== null)
      events.push({ kind: "note-added", at, text: slowTailWords(item.tag, latest.slowTail), by: "engine" });
  }
  return events;
};

/** The window of the point, once every item has its readings. */
const measuredWindow = (state: EngineState, at: number): EventDraft[] => {
  const stop = currentStop(state);
  const { measuring } = state;
  if (stop === undefined || measuring === null) return [];
  const wanted = state.job.procedure.readings.count;
  if (!state.job.items.every((item) => (measuring.counts[item.id] ?? 0) >= wanted)) return [];
  const from = Math.min(...Object.values(measuring.firsts));
  const to = Math.max(...Object.values(measuring.lasts));
  return [{ kind: "point-measured", at, pass: stop.pass, point: stop.point, from, to }];
};

/** What to say of a wait that was too long: a source that is not there yet first, then the item that is furthest from ready. */
const obstacleOf = (state: EngineState): string => {
  const wanted = state.setPoint?.temperature ?? null;
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  if (wanted !== null && reference !== null && Math.abs(reference - wanted) > nearEnough(wanted)) {
    return `The reference is still at ${reference.toFixed(1)} °C: check that the source heats or cools, and how deep the reference is inserted.`;
  }
  const slowest = state.job.items
    .map((item) => ({ item, latest: state.settling[item.id]?.latest ?? null }))
    .reduce((worst, each) => ((each.latest?.ratio ?? Infinity) > (worst.latest?.ratio ?? Infinity) ? each : worst));
  return nameObstacle(slowest.item.tag, slowest.latest);
};

const tooSlow = (state: EngineState, at: number): EventDraft[] => {
  const { longestWait } = state.job.procedure.settling;
  if (state.setPoint === null || state.measuring !== null || at - state.setPoint.at <= longestWait) return [];
  const message =
    `${state.setPoint.temperature} °C has not settled within ${Math.round(longestWait / 60)} minutes. ${obstacleOf(state)} ` +
    "Then resume to wait longer, or skip the point with a reason.";
  return pauseWithFault(at, { code: "settling.too-slow", message });
};

const blockIsDue = (state: EngineState, volatile: Volatile, at: number): boolean => {
  if (volatile.pendingSince === null) return false;
  if (at - volatile.pendingSince >= gatheringTime - 1e-9) return true;
  if (state.measuring === null) return false;
  const wanted = state.job.procedure.readings.count;
  return state.job.items.every(
    (item) => (state.measuring!.counts[item.id] ?? 0) + (volatile.pending[item.channel]?.times.length ?? 0) >= wanted,
  );
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
  if (state.paused !== null) return { events, effects: [], volatile };
  const take = (drafts: readonly EventDraft[]): boolean => {
    events.push(...drafts);
    state = foresee(state, drafts);
    return drafts.length > 0;
  };
  if (take(signalFinding(state, at))) return { events, effects: [], volatile };
  if (take(measuredWindow(state, at))) {
    const next = advance(state, at);
    return { events: [...events, ...next.events], effects: next.effects, volatile };
  }
  take(newlySettled(state, at));
  take(tooSlow(state, at));
  return { events, effects: [], volatile };
};
