import type { Block } from "./block.ts";
import { lagDoubt, leastLag } from "./longest-lag.ts";
import { correctionBy } from "./known-pace.ts";
import { blockLength, confirmationGap, slopeMargin } from "./lengths.ts";
import type { SettlingState } from "./state.ts";

/** When the approach will be ready, with an interval of about 80 %, in seconds on the readings' own clock. */
export interface Forecast {
  readonly at: number;
  readonly from: number;
  readonly to: number;
}

/** How long sources of any class take to come to rest once they arrive, as a time constant, s (common practice, no source). */
const sourceTime = 30;
/** Share of the time left that stays in doubt: while the source is on its way, and while the bound comes down. */
const doubtOnTheWay = 0.3;
const doubtAtRest = 0.6;
/** Readiness is judged in steps, s. */
const leastDoubt = confirmationGap;
/** A movement below this share of the fastest is no travel any more. */
const movementLeft = 0.1;

interface Pace {
  /** K/s now. */
  readonly movement: number;
  /** Change of the movement per kelvin of travel, 1/s: power and losses make a line of it. */
  readonly change: number;
  /** Share of the movement's variation that this line explains. */
  readonly explained: number;
}

const fit = (
  x: readonly number[],
  y: readonly number[],
): { middle: number; level: number; slope: number; explained: number } => {
  const n = x.length;
  const middle = x.reduce((sum, value) => sum + value, 0) / n;
  const level = y.reduce((sum, value) => sum + value, 0) / n;
  let cross = 0;
  let squares = 0;
  let variation = 0;
  x.forEach((value, index) => {
    cross += (value - middle) * (y[index]! - level);
    squares += (value - middle) ** 2;
    variation += (y[index]! - level) ** 2;
  });
  const slope = squares > 0 ? cross / squares : 0;
  return { middle, level, slope, explained: variation > 0 ? (slope * cross) / variation : 0 };
};

const paceOf = (blocks: readonly Block[]): Pace => {
  const late = blocks.slice(-4);
  const movement = fit(
    late.map(({ time }) => time),
    late.map(({ reference }) => reference),
  ).slope;
  const rates = blocks.slice(1).map((block, index) => ({
    at: (block.reference + blocks[index]!.reference) / 2,
    rate: (block.reference - blocks[index]!.reference) / (block.time - blocks[index]!.time),
  }));
  // From the fastest on: before it the source was only starting.
  const fastest = rates.reduce(
    (best, { rate }, index) => (Math.abs(rate) > Math.abs(rates[best]!.rate) ? index : best),
    0,
  );
  const since = rates.slice(fastest);
  const line =
    since.length < 6
      ? null
      : fit(
          since.map(({ at }) => at),
          since.map(({ rate }) => rate),
        );
  return { movement, change: line?.slope ?? 0, explained: line?.explained ?? 0 };
};

/** How well a line must explain the movement for the whole approach to be one decay, and how near to its goal it must end. */
const oneDecay = 0.97;
const nearGoal = 0.1;
/** No source is believed to be slower than this in its whole approach, s. */
const slowestSource = 400;

/**
 * Time constant of the source's coming to rest, s: read off the approach where that is one decay towards the set point.
 * A source at full power slows down too, but towards a temperature far beyond.
 */
const sourceTimeOf = (
  { movement, change, explained }: Pace,
  now: number,
  distance: number | null,
  way: number,
): number => {
  if (change >= 0 || explained < oneDecay) return sourceTime;
  const end = now - movement / change;
  if (distance !== null && Math.abs(end - now - distance) > nearGoal * (Math.abs(way) + Math.abs(distance)))
    return sourceTime;
  return Math.min(slowestSource, Math.max(sourceTime, -1 / change));
};

/** Time to travel a distance at a pace that changes linearly with the distance, s. */
const travelTime = (distance: number, { movement, change }: Pace): number => {
  const even = distance / movement;
  const end = (movement + change * distance) / movement;
  // A pace that would run dry before the goal is not believed further than four times the even time.
  if (Math.abs(change * even) < 0.01) return even;
  return end > 0 ? Math.min(4 * even, Math.log(end) / change) : 4 * even;
};

/**
 * From a present excess (how many times too fast the difference still changes) to a readiness, when it dies down with a
 * time constant: until it is allowed, and then until the shortest window no longer remembers the faster change before.
 */
const restTime = (state: SettlingState, excess: number, timeConstant: number): number => {
  const windows = state.options.minimumWindow / timeConstant;
  const remembered = Math.log(Math.expm1(windows) / windows);
  return timeConstant * Math.max(0, Math.log(Math.max(1e-9, excess)) + remembered) + confirmationGap;
};

/** How many times too fast a change of the difference and a movement of the reference are for the target. */
const excessOf = (state: SettlingState, change: number, movement: number, lag: number): number =>
  (2 / state.options.target) *
  Math.max(Math.abs(change) * slopeMargin * state.options.horizon, Math.abs(movement) * (lagDoubt * lag + leastLag));

/** What is not seen yet only ever prolongs the wait, so the interval reaches further up than down. */
const upwards = 2.2;

const withDoubt = (now: number, left: number, doubt: number): Forecast => ({
  at: now + left,
  from: now + Math.max(0, left * (1 - doubt) - leastDoubt),
  to: now + left * (1 + upwards * doubt) + leastDoubt,
});

/** Time constant of two lags in a row, near the end, s: the slower one, a little more where the other is not far off. */
const together = (one: number, other: number): number =>
  Math.max(one, other) + Math.min(one, other) * (Math.min(one, other) / Math.max(one, other));

const changeOf = (blocks: readonly Block[]): number =>
  fit(
    blocks.map(({ time }) => time),
    blocks.map(({ difference }) => difference),
  ).slope;

/** Time constant with which the change of the difference dies down, as far as the latest blocks show it; else the expected one. */
const dyingDown = (blocks: readonly Block[], expected: number): number => {
  if (blocks.length < 9) return expected;
  const earlier = Math.abs(changeOf(blocks.slice(-8, -4)));
  const later = Math.abs(changeOf(blocks.slice(-4)));
  const seen = later > 0 && earlier > later ? (4 * blockLength) / Math.log(earlier / later) : Number.POSITIVE_INFINITY;
  return 2 / (1 / Math.min(600, Math.max(15, seen)) + 1 / expected);
};

/** The bound must have fallen by so much, in logarithms, before its own course says more than the blocks. */
const fallenWell = 0.7;

/** How much the forecast made on the way counts beside one made at rest: alone, and with what earlier approaches taught. */
const [wayCounts, wayCountsTaught] = [0.35, 0.5];

/** With rules of a written procedure: a soak and windows that are not over yet. What a limit will do nobody knows beforehand. */
const boundByRules = ({ options, ruleWatch }: SettlingState, own: Forecast): Forecast => {
  const { rules, judgement } = options;
  if (rules === undefined || ruleWatch === null) return own;
  const longest = Math.max(rules.soak ?? 0, ...rules.limits.map(({ window }) => window));
  const since = ruleWatch.reachedSince;
  // Not reached yet: our own forecast stands for the arrival, which comes before it.
  const at = since === null ? own.at : since + longest;
  if (judgement === "rules") return since === null ? own : { at, from: at, to: Math.max(at, own.to) };
  return { at: Math.max(at, own.at), from: Math.max(at, own.from), to: Math.max(at, own.to) };
};

/** A forecast before what is known corrects it: how much longer, its doubt, and what it was made from. */
interface Raw {
  readonly now: number;
  /** Time to the source's arrival, and from there to readiness, s. */
  readonly arrives: number;
  readonly left: number;
  readonly doubt: number;
  readonly by: "way" | "rest" | "bound";
}

/** Once arrived: from the blocks at first, and from the course of the bound as soon as it comes down. */
const atRest = (state: SettlingState, now: number, lag: number, pace: Pace, source: number): Raw => {
  const { latest, marks, blocks } = state;
  const expected = together(lag, source);
  const recent = marks.slice(-5).filter(({ ratio }) => Number.isFinite(ratio) && ratio > 0);
  const line =
    recent.length < 4
      ? null
      : fit(
          recent.map(({ time }) => time),
          recent.map(({ ratio }) => Math.log(ratio)),
        );
  const span = recent.length < 4 ? 0 : recent.at(-1)!.time - recent[0]!.time;
  if (latest !== null && line !== null && -line.slope * span > fallenWell) {
    const left =
      Math.log(Math.max(1, latest.ratio)) / -line.slope +
      (state.readySince === null ? confirmationGap : confirmationGap / 2);
    return { now, arrives: 0, left, doubt: doubtAtRest, by: "bound" };
  }
  const timeConstant = dyingDown(blocks, expected);
  const left = restTime(state, excessOf(state, changeOf(blocks.slice(-4)), pace.movement, lag), timeConstant);
  return { now, arrives: 0, left, doubt: doubtOnTheWay, by: "rest" };
};

/** The forecast by this approach alone; null while nothing can be said. */
const rawForecast = (state: SettlingState): Raw | null => {
  const { blocks, travel, options } = state;
  const block = blocks.at(-1);
  if (block === undefined || travel === null || blocks.length < 4) return null;
  const now = block.time + blockLength / 2;
  const pace = paceOf(blocks);
  const distance = options.setPoint === undefined ? null : options.setPoint - block.reference;
  const way = block.reference + block.difference - travel.item;
  const source = sourceTimeOf(pace, block.reference, distance, way);
  const travels = Math.abs(pace.movement) > movementLeft * travel.fastest;
  if (!travels) {
    const lag = way === 0 ? 0 : Math.abs((block.difference * (travel.until - travel.time) - travel.area) / way);
    return atRest(state, now, Math.min(lag, options.horizon), pace, source);
  }
  const lag = Math.min(options.horizon, Math.abs((block.difference - travel.difference) / pace.movement));
  if (distance === null) return null;
  const decays = source > sourceTime;
  // One decay towards the end has no arrival: it is at rest when what is left of it is allowed.
  const arrives = decays || distance * pace.movement <= 0 ? 0 : travelTime(distance, pace);
  const timeConstant = together(lag, source);
  const left = restTime(state, excessOf(state, (lag * pace.movement) / timeConstant, pace.movement, lag), timeConstant);
  return { now, arrives, left, doubt: doubtOnTheWay, by: "way" };
};

/** Keeps the forecasts that are compared with what came true, once it is known. */
export const foretell = (state: SettlingState): SettlingState => {
  if (state.ownReady || state.foretold.rest !== null) return state;
  const raw = rawForecast(state);
  if (raw === null || raw.by === "bound") return state;
  const time = raw.now + raw.arrives;
  return { ...state, foretold: { ...state.foretold, [raw.by]: { time, at: time + raw.left } } };
};

/**
 * The time left. While the source is on its way: the rest of the way at its pace, then the time in which the lag that
 * shows on the way dies down; afterwards, from the way in which the bound comes down. What earlier approaches of the same
 * item on the same source taught corrects both. Null at the very beginning, and while the source travels to a set point
 * that was not told.
 */
export const forecastOf = (state: SettlingState): Forecast | null => {
  const { options, foretold, travel } = state;
  const raw = rawForecast(state);
  if (raw === null || travel === null) return null;
  const { now } = raw;
  if (state.ready) return { at: now, from: now, to: now };
  const { factor, doubt } = raw.by === "bound" ? correctionBy(undefined) : correctionBy(options.known?.[raw.by]);
  let left = raw.arrives + raw.left * factor;
  // Two forecasts of one moment are better than one: what was said on the way still counts while it lies ahead.
  if (raw.by !== "way" && foretold.way !== null) {
    const before =
      foretold.way.time + (foretold.way.at - foretold.way.time) * correctionBy(options.known?.way).factor - now;
    const share = options.known === undefined ? wayCounts : wayCountsTaught;
    if (before > 0 && left > 0) left = Math.exp((1 - share) * Math.log(left) + share * Math.log(before));
  }
  const forecast = withDoubt(now, left, raw.doubt * doubt);
  const earliest = travel.time + options.minimumWindow + confirmationGap;
  const notBefore = (time: number): number => Math.max(time, earliest);
  return boundByRules(state, {
    at: notBefore(forecast.at),
    from: notBefore(forecast.from),
    to: notBefore(forecast.to),
  });
};
