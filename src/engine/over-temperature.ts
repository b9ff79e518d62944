import { limitsOf } from "#calibration";
import { pauseWithFault } from "./advance.ts";
import { setsByHand } from "./hand/hand-state.ts";
import type { Decision } from "./inputs.ts";
import type { ChannelAnswer } from "./ports.ts";
import { sourceChannelOf, type EngineState } from "./state.ts";
import { switchSource } from "./switch-source.ts";

/** The source's own sensor lies nearer to its heater: so much more is allowed of it, K (*ours*). */
const sourceAllowance = 10;
/** So many readings in a row beyond a limit are no slip of the wire. */
const readingsToAct = 2;

/** What a channel reads as a temperature, °C, and who reads it; null where it is no temperature or nobody's. */
const seenOn = (
  state: EngineState,
  { channel, outcome }: ChannelAnswer,
  junctionOf: (channel: string) => number | undefined,
): { readonly who: string; readonly temperature: number; readonly source: boolean } | null => {
  if (!outcome.ok) return null;
  const { job } = state;
  const { value } = outcome.value;
  if (channel === job.kit.reference.channel) {
    const converted = state.converter.reference(value);
    return converted.ok ? { who: "The reference", temperature: converted.value, source: false } : null;
  }
  if (channel === sourceChannelOf(job))
    return { who: "The heat source's own sensor", temperature: value, source: true };
  const item = job.items.find((candidate) => candidate.channel === channel);
  if (item === undefined || item.sensor.kind === "switch") return null;
  const junction = item.coldJunction?.kind === "channel" ? junctionOf(item.coldJunction.channel) : undefined;
  const converted = state.converter.item(item.id, value, junction);
  return converted.ok ? { who: item.tag, temperature: converted.value, source: false } : null;
};

export interface OverTemperature {
  /** How often in a row each channel has read beyond a limit. */
  readonly beyond: Readonly<Record<string, number>>;
  /** What is to be done, where that is enough. */
  readonly decide: ((state: EngineState, at: number) => Decision) | null;
}

const heatOff = (state: EngineState, at: number, found: string): Decision => {
  const off = switchSource(state, at, false);
  const done = off.effects.length > 0 ? "The source has been switched off." : "Switch the source off now.";
  const message = `${found} ${done} Keep away until it has cooled. Find out why it ran away, or what is wrong with that reading, before going on.`;
  return { events: [...off.events, ...pauseWithFault(at, { code: "run.limit", message })], effects: off.effects };
};

/**
 * Watches every reading of reference, items and source against the tightest of all limits, as long as the source heats or
 * cools. One that lies beyond twice in a row takes the heat away at once; nothing waits for the log's next block.
 */
export const watchOverTemperature = (state: EngineState, answers: readonly ChannelAnswer[]): OverTemperature => {
  const before = state.volatile.beyond;
  if (!state.output || (setsByHand(state.job) && state.paused !== null)) return { beyond: {}, decide: null };
  const limits = limitsOf(state.job);
  // What begins in a room that is colder than the lowest point is not too cold yet.
  const room = state.job.conditions.ambientTemperature.value;
  const junctionOf = (wanted: string): number | undefined => {
    const own = answers.find(({ channel, outcome }) => channel === wanted && outcome.ok);
    return own?.outcome.ok === true ? own.outcome.value.value : state.latest[wanted]?.signal;
  };
  let beyond: Record<string, number> = {};
  let decide: OverTemperature["decide"] = null;
  for (const answer of answers) {
    const seen = seenOn(state, answer, junctionOf);
    if (seen === null) continue;
    const { who, temperature, source } = seen;
    const [most, least] = source ? [limits.highest, limits.lowest] : [limits.hottest, limits.coldest];
    const beside = limits.overshoot + (source ? sourceAllowance : 0);
    const over = temperature > most.value + beside;
    if (!over && temperature >= Math.min(least.value, room) - beside) continue;
    const count = (before[answer.channel] ?? 0) + 1;
    beyond = { ...beyond, [answer.channel]: count };
    if (count < readingsToAct || decide !== null) continue;
    const limit = over ? most : least;
    const found = `${who} reads ${temperature.toFixed(1)} °C, ${over ? "above" : "below"} the limit of ${limit.value} °C that ${limit.whose} sets.`;
    decide = (now, at) => heatOff(now, at, found);
  }
  return { beyond, decide };
};
