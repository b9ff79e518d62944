import type { SettlingState } from "./state.ts";

/** When the approach will be ready, with an interval of about 80 %, in seconds on the readings' own clock. */
export interface Forecast {
  readonly at: number;
  readonly from: number;
  readonly to: number;
}

/** Scatter that a forecast has even where the bound came down smoothly, as a share of the time left. */
const leastDoubt = 0.2;

/**
 * The time left, from the way in which the bound came down: its logarithm falls about linearly while one lag rules, so the
 * line through the latest marks is followed to where the bound meets the target. Null while the bound is not coming down.
 */
export const forecastOf = (state: SettlingState): Forecast | null => {
  const latest = state.latest;
  if (latest === null || state.lastJudged === null) return null;
  const now = state.lastJudged;
  if (state.ready) return { at: now, from: now, to: now };
  const marks = state.marks.slice(-15).filter((mark) => Number.isFinite(mark.ratio) && mark.ratio > 0);
  if (marks.length < 4) return null;
  const times = marks.map((mark) => mark.time);
  const logs = marks.map((mark) => Math.log(mark.ratio));
  const middle = times.reduce((sum, time) => sum + time, 0) / times.length;
  const level = logs.reduce((sum, value) => sum + value, 0) / logs.length;
  let cross = 0;
  let squares = 0;
  times.forEach((time, index) => {
    cross += (time - middle) * (logs[index]! - level);
    squares += (time - middle) ** 2;
  });
  const rate = -cross / squares;
  if (!(rate > 0)) return null;
  const left = Math.max(0, Math.log(Math.max(1, latest.ratio)) / rate) + state.options.minimumWindow / 6;
  const rough = Math.sqrt(
    logs.reduce((sum, value, index) => sum + (value - level + rate * (times[index]! - middle)) ** 2, 0) / (logs.length - 2),
  );
  const doubt = Math.min(0.9, leastDoubt + rough / Math.max(0.3, level));
  return { at: now + left, from: now + left * (1 - doubt), to: now + left * (1 + 2 * doubt) };
};
