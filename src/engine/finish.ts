import { forecastOf } from "#settling";
import { readingsByHand } from "#calibration";
import { readsByHand } from "./hand/hand-state.ts";
import { roundsDone } from "./hand/judge-by-hand.ts";
import { currentStop, type EngineState } from "./state.ts";

/** When all points will be done, s on the run's clock, with an interval of about 80 %. */
export interface Finish {
  readonly at: number;
  readonly from: number;
  readonly to: number;
}

/** What a point takes before anything is known of the source: s, and s for each kelvin of travel (common practice, no source). */
const usualRest = 480;
const usualPerKelvin = 4;
/** Doubt of a point's length, as a share: of the usual figures, and by each point done. */
const usualDoubt = 0.5;
const leastDoubt = 0.12;
/** What is not seen yet only ever prolongs the wait. */
const upwards = 1.5;

/** What a point of so much travel, K, usually takes, s. */
export const usualTime = (travel: number): number => usualRest + usualPerKelvin * travel;

/** A point read by hand: the rounds that are left, and twice as many where rest is not shown by them; a person is late by one. */
const presentByHand = (state: EngineState, hand: NonNullable<EngineState["hand"]>): Finish | null => {
  const { count, interval } = readingsByHand(state.job);
  const begins = hand.begunAt === null ? (hand.steady === null ? null : forecastOf(hand.steady)) : null;
  if (hand.begunAt === null && begins === null) return null;
  const left = (Math.max(0, count - (hand.begunAt === null ? 0 : roundsDone(state, hand))) + 1) * interval;
  const now = begins ?? { at: state.at, from: state.at, to: state.at };
  const after = (moment: number): number => Math.max(state.at, moment) + left;
  return { at: after(now.at), from: after(now.from), to: after(now.to) + count * interval };
};

/** When the present point will be measured; null while there is no forecast for one of its items. */
const presentPoint = (state: EngineState): Finish | null => {
  if (state.hand !== null && readsByHand(state.job)) return presentByHand(state, state.hand);
  const { count, interval } = state.job.procedure.readings;
  const reading = count * interval;
  if (state.measuring !== null) return { at: state.at + reading / 2, from: state.at, to: state.at + reading };
  const forecasts = state.job.items.map(({ id }) => {
    const settling = state.settling[id];
    return settling === undefined ? null : forecastOf(settling);
  });
  const made = forecasts.filter((forecast) => forecast !== null);
  if (made.length < forecasts.length) return null;
  const last = (of: (forecast: Finish) => number): number => Math.max(state.at, ...made.map(of)) + reading;
  return { at: last(({ at }) => at), from: last(({ from }) => from), to: last(({ to }) => to) };
};

/**
 * When the run will have measured all its points. The present point is forecast from its readings; those ahead take what
 * points of their travel usually take, times what the points done (and the present one) took longer or shorter. Null
 * before the start, in a pause, at the end, and for switches, whose ramps have their own forecast.
 */
export const finishOf = (state: EngineState): Finish | null => {
  const stop = currentStop(state);
  if (!state.begun || state.ended !== null || state.paused !== null || state.ramp !== null) return null;
  if (stop === undefined || state.setPoint === null) return null;
  const present = presentPoint(state);
  if (present === null) return null;
  const { points, from } = state.learnt;
  const ratios = points.map(({ travel, seconds }) => Math.log(seconds / usualTime(travel)));
  if (from !== null)
    ratios.push(Math.log(Math.max(60, present.at - state.setPoint.at) / usualTime(Math.abs(stop.temperature - from))));
  const mean = ratios.reduce((sum, ratio) => sum + ratio, 0) / Math.max(1, ratios.length);
  const scatter = Math.sqrt(
    (usualDoubt ** 2 + ratios.reduce((sum, ratio) => sum + (ratio - mean) ** 2, 0)) / (1 + ratios.length),
  );
  let before = stop.temperature;
  let ahead = 0;
  for (const next of state.stops.filter(({ status }) => status === "ahead")) {
    ahead += usualTime(Math.abs(next.temperature - before)) * Math.exp(mean);
    before = next.temperature;
  }
  const doubt = Math.max(leastDoubt, scatter / Math.sqrt(1 + points.length)) * ahead;
  return {
    at: present.at + ahead,
    from: Math.max(state.at, present.from + ahead - doubt),
    to: present.to + ahead + upwards * doubt,
  };
};
