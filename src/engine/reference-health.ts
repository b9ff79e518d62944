import { isTyped, type EventDraft } from "#calibration";
import { pauseWithFault } from "./advance.ts";
import { nearEnough } from "./near-enough.ts";
import { gatheringTime } from "./pending.ts";
import { currentStop, type EngineState } from "./state.ts";

/** The reference shows one and the same value for this long while an item moves, s (*ours*). */
const longestSame = 120;
/** ... by more than this, K (*ours*). */
const movedMeanwhile = 0.5;
/** A step smaller than this is not called one, K; nor is one below so many times the scatter about the line before it (*ours*). */
const smallestStep = 0.25;
const scatterToStep = 10;
const history = 12;
const since = 3;

const putRight = "Then resume, which approaches the point anew; or replace the reference.";

interface Finding {
  readonly code: string;
  readonly message: string;
}

const name = (state: EngineState): string => {
  const { serial, description } = state.job.kit.reference;
  return `the reference ${serial} (${description})`;
};

/** A signal that gives no temperature: open, shorted, or out of its range. */
const silent = (state: EngineState): Finding | null => {
  const { channel, unit } = state.job.kit.reference;
  const latest = state.latest[channel];
  if (latest === undefined || latest.temperature !== null) return null;
  const converted = state.converter.reference(latest.signal);
  if (converted.ok) return null;
  return {
    code: "signal.out-of-range",
    message: `The signal of ${name(state)}, ${latest.signal} ${unit}, gives no temperature: its circuit is open or shorted, or another probe is connected. Check plug, cable and input. ${putRight}`,
  };
};

const capital = (text: string): string => text[0]!.toUpperCase() + text.slice(1);

const spread = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);

/** How far an item has moved since a moment, K. */
const itemsMoved = (state: EngineState, from: number): number =>
  Math.max(
    0,
    ...Object.values(state.itemStretches).map(({ times, temperatures }) => {
      const recent = temperatures.filter((_, index) => times[index]! >= from);
      return recent.length < 2 ? 0 : spread(recent);
    }),
  );

const stuck = (state: EngineState): Finding | null => {
  const { times, temperatures } = state.reference;
  const last = temperatures.at(-1);
  if (last === undefined) return null;
  const changed = temperatures.findLastIndex((temperature) => temperature !== last);
  const from = times[changed + 1]!;
  if (times.at(-1)! - from < longestSame || itemsMoved(state, from) < movedMeanwhile) return null;
  return {
    code: "signal.stuck",
    message: `${capital(name(state))} has shown the same value for ${Math.round((times.at(-1)! - from) / 60)} minutes while the item moved. Look whether the readout holds its display or the probe was taken out. ${putRight}`,
  };
};

/** The line through the readings before, and how far they scatter about it. */
const lineThrough = (times: readonly number[], values: readonly number[]) => {
  const mean = (list: readonly number[]): number => list.reduce((sum, value) => sum + value, 0) / list.length;
  const [t0, v0] = [mean(times), mean(values)];
  const square = times.reduce((sum, t) => sum + (t - t0) ** 2, 0);
  const slope = times.reduce((sum, t, index) => sum + (t - t0) * (values[index]! - v0), 0) / square;
  const at = (t: number): number => v0 + slope * (t - t0);
  const residual = Math.sqrt(mean(values.map((value, index) => (value - at(times[index]!)) ** 2)));
  return { at, residual };
};

interface Step {
  /** Index of the first reading after it. */
  readonly at: number;
  readonly size: number;
}

const stepAt = (times: readonly number[], values: readonly number[], cut: number): Step | null => {
  const line = lineThrough(times.slice(cut - history, cut), values.slice(cut - history, cut));
  const away = values.slice(cut, cut + since).map((value, index) => value - line.at(times[cut + index]!));
  const least = Math.min(...away.map(Math.abs));
  const oneSide = away.every((each) => each > 0) || away.every((each) => each < 0);
  if (!oneSide || least <= Math.max(smallestStep, scatterToStep * line.residual)) return null;
  return { at: cut, size: away.at(-1)! };
};

/** A step among the latest readings; null where there is none. */
const latestStep = (times: readonly number[], values: readonly number[]): Step | null => {
  const last = values.length - since;
  // All that has come with the latest block, however many readings that is.
  const fresh = times.findIndex((time) => time >= times.at(-1)! - gatheringTime);
  for (let cut = Math.max(history, Math.min(fresh, last - history)); cut <= last; cut += 1) {
    const step = stepAt(times, values, cut);
    if (step !== null) return step;
  }
  return null;
};

/** Whether an item left its own line at the same moment, by a third of the step or more, the same way. */
const followed = (state: EngineState, time: number, size: number): boolean =>
  Object.values(state.itemStretches).some(({ times, temperatures }) => {
    const cut = times.findIndex((each) => each >= time);
    if (cut < history || cut + since > times.length) return true;
    const line = lineThrough(times.slice(cut - history, cut), temperatures.slice(cut - history, cut));
    const away = temperatures[cut + since - 1]! - line.at(times[cut + since - 1]!);
    return away / size > 1 / 3;
  });

/**
 * A step of the reference that nothing else shows. Only near the set point, where its own line is known; a source that was
 * disturbed moves the items, too, and is no fault of the reference.
 */
const jumped = (state: EngineState, temperature: number): Finding | null => {
  const { times, temperatures } = state.reference;
  const step = latestStep(times, temperatures);
  if (step === null || followed(state, times[step.at]!, step.size)) return null;
  if (Math.abs(temperatures[step.at - 1]! - temperature) > nearEnough(temperature)) return null;
  return {
    code: "signal.jump",
    message: `${capital(name(state))} moved by ${step.size.toFixed(2)} K at once, and no item with it. Look whether its cable was touched or the probe slipped; a damaged one keeps its step. ${putRight}`,
  };
};

/** Open, stuck, or a jump against its own history: named at the point, the run paused, while the point can be repeated. */
export const referenceFinding = (state: EngineState, at: number): EventDraft[] => {
  const stop = currentStop(state);
  if (stop === undefined) return [];
  // A reference that is typed shows a value now and then: neither standing still nor a step can be seen in it.
  const typed = isTyped(state.job.bench, state.job.kit.reference.channel);
  const finding = silent(state) ?? (typed ? null : (stuck(state) ?? jumped(state, stop.temperature)));
  if (finding === null) return [];
  const { channel } = state.job.kit.reference;
  return pauseWithFault(at, { ...finding, channel, pass: stop.pass, point: stop.point });
};
