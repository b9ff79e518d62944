import { findRulesOfFew, judgeFew, type FewJudgement, type RuleFinding } from "#settling";
import { readingsByHand, typedResolution, type EventDraft, type Item, type Job } from "#calibration";
import { settlingTarget } from "../settling-target.ts";
import type { EngineState, PlannedStop } from "../state.ts";
import { handItems, pairsOf } from "./hand-state.ts";
import type { HandState } from "./hand.ts";

/** Fewer readings than this measure nothing, however hurried somebody is. */
export const fewestReadings = 3;
/** While it is not shown that the point rests, the window grows to so many times the readings asked for. */
const mostInWindow = 2;

/** One item's typed readings as they stand. */
export interface HandLook {
  readonly item: Item;
  readonly judgement: FewJudgement;
  readonly rules: readonly RuleFinding[];
  readonly target: number;
}

/** One step of the item's own reading, K: a digit in °C, or what the channel's digit is at the sensor's slope. */
const resolutionOf = ({ job, converter }: EngineState, { id, channel, unit, indicationResolution }: Item): number => {
  const digit = typedResolution(job, channel);
  if (unit === "°C") return Math.max(digit, indicationResolution ?? 0);
  if (digit === 0) return 0;
  // A step of the signal as kelvin, at 0 of the scale as good as anywhere: the slopes of one sensor are alike enough here.
  const [low, high] = [converter.item(id, 0, 0), converter.item(id, digit, 0)];
  return low.ok && high.ok ? Math.abs(high.value - low.value) : 0;
};

const bindingRules = ({ procedure }: Job) => procedure.settling.rules;

const lookAt = (state: EngineState, hand: HandState, item: Item, size: number, at: number): HandLook | null => {
  const pairs = pairsOf(hand, item.id);
  const temperature = state.setPoint?.temperature ?? 0;
  const target = settlingTarget(state.job, item, temperature);
  const judgement = judgeFew(pairs.slice(-size), { target, resolution: resolutionOf(state, item) });
  if (judgement === null) return null;
  const rules = bindingRules(state.job);
  return {
    item,
    judgement,
    target,
    rules: rules === undefined ? [] : findRulesOfFew(pairs, rules, hand.reachedSince, at),
  };
};

const looksAt = (state: EngineState, hand: HandState, size: number, at: number): readonly HandLook[] | null => {
  const looks = handItems(state.job).map((item) => lookAt(state, hand, item, size, at));
  return looks.some((look) => look === null) ? null : (looks as HandLook[]);
};

/** How many rounds are whole: the readings of the item that has the fewest. */
export const roundsDone = (state: EngineState, hand: HandState): number =>
  Math.min(...handItems(state.job).map(({ id }) => pairsOf(hand, id).length));

export const rulesHold = ({ job }: EngineState, looks: readonly HandLook[]): boolean =>
  bindingRules(job) === undefined || looks.every(({ rules }) => rules.every(({ holds }) => holds));

/**
 * The window that the point is measured in, if it is one: all readings up to twice those asked for, or the latest of them
 * where the earlier ones still drifted. Null while nothing can be said, or while it drifts.
 */
export const restingWindow = (state: EngineState, hand: HandState, at: number): readonly HandLook[] | null => {
  const { count } = readingsByHand(state.job);
  const rounds = roundsDone(state, hand);
  const resting = (size: number): readonly HandLook[] | null => {
    const looks = looksAt(state, hand, size, at);
    return looks === null || looks.some(({ judgement }) => judgement.verdict === "drifting") ? null : looks;
  };
  const long = resting(Math.min(rounds, mostInWindow * count));
  return long ?? (rounds > count ? resting(count) : null);
};

/** Whether the window is enough: readings as many as asked for, and rest shown, or twice as many with no drift to be seen. */
export const isEnough = (state: EngineState, hand: HandState, looks: readonly HandLook[]): boolean => {
  const { count } = readingsByHand(state.job);
  const rounds = roundsDone(state, hand);
  if (rounds < count || !rulesHold(state, looks)) return false;
  if (bindingRules(state.job)?.judgement === "rules") return true;
  return rounds >= mostInWindow * count || looks.every(({ judgement }) => judgement.verdict === "ready");
};

/** What a person who stops earlier gets: whatever there is, as it is. */
export const hurriedWindow = (state: EngineState, hand: HandState, at: number): readonly HandLook[] | null =>
  restingWindow(state, hand, at) ?? looksAt(state, hand, readingsByHand(state.job).count, at);

/** Evidence and window of a point that was read by hand. */
export const measuredByHand = (
  state: EngineState,
  stop: PlannedStop,
  looks: readonly HandLook[],
  at: number,
): EventDraft[] => {
  const { pass, point } = stop;
  const rules = bindingRules(state.job);
  const settled = looks.map(({ item, judgement, target, rules: found }): EventDraft => ({
    kind: "point-settled",
    at,
    pass,
    point,
    item: item.id,
    evidence: {
      from: judgement.from,
      to: judgement.to,
      estimate: judgement.estimate,
      remainder: judgement.remainder,
      standardUncertainty: judgement.standardUncertainty,
      slope: judgement.slope,
      slopeStandardError: judgement.slopeStandardError,
      autocorrelation: 0,
      target,
      U: judgement.U,
      typed: judgement.readings,
      ...(rules === undefined
        ? {}
        : { judgement: rules.judgement, ownReady: judgement.verdict === "ready", rules: [...found] }),
    },
  }));
  const from = Math.min(...looks.map(({ judgement }) => judgement.from));
  const to = Math.max(...looks.map(({ judgement }) => judgement.to));
  return [...settled, { kind: "point-measured", at, pass, point, from, to }];
};
