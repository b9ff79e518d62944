import type { ChannelUnit } from "#quantity";
import { forecastOf } from "#settling";
import { isTyped, readingsByHand, typedResolution, type Item, type Pass } from "#calibration";
import { settlingTarget } from "../settling-target.ts";
import { currentStop, type EngineState } from "../state.ts";
import { nextRoundAt } from "./decide-by-hand.ts";
import { awaitsSetPoint, channelName, outstanding, readsByHand } from "./hand-state.ts";
import type { AskedBack } from "./hand.ts";
import { fewestReadings, hurriedWindow, roundsDone } from "./judge-by-hand.ts";

/** A typed reading as it is listed. */
export interface TypedLine {
  readonly channel: string;
  readonly name: string;
  readonly unit: ChannelUnit;
  readonly time: number;
  readonly typed: string;
  readonly temperature: number | null;
  readonly by: string;
  readonly confirmed: boolean;
  readonly withdrawn: { readonly reason: string; readonly by: string } | null;
  readonly pass: Pass | null;
  readonly point: number | null;
}

/** What is read and set by hand, as a screen shows it. */
export interface HandView {
  /** What the source is to be set to, °C, while that waits for somebody to confirm it. */
  readonly setPoint: number | null;
  /** What is to be read now, the next one first; null while nothing is. */
  readonly asked: { readonly at: number; readonly channels: readonly string[] } | null;
  /** When the next round is due, s. */
  readonly next: number | null;
  readonly question: AskedBack | null;
  readonly channels: readonly {
    readonly channel: string;
    readonly name: string;
    readonly unit: ChannelUnit;
    readonly resolution: number | null;
    /** The value typed last, as a start for the next. */
    readonly last: string | null;
  }[];
  /** Of the run, the newest first. */
  readonly readings: readonly TypedLine[];
  readonly taken: number;
  readonly wanted: number;
  readonly fewest: number;
}

/** So many typed readings are listed; all stand in the log. */
const listed = 60;

export const handViewOf = (state: EngineState): HandView | null => {
  const { hand, job } = state;
  if (hand === null) return null;
  const missing = outstanding(hand);
  const working = state.paused === null && state.ended === null && currentStop(state) !== undefined;
  const typed = Object.keys(job.bench.channels).filter((channel) => isTyped(job.bench, channel));
  const unitOf = (channel: string): ChannelUnit => job.bench.channels[channel]!.unit;
  return {
    setPoint: working && awaitsSetPoint(state) ? (state.setPoint?.temperature ?? null) : null,
    asked: working && hand.asked !== null && missing.length > 0 ? { at: hand.asked.at, channels: missing } : null,
    next: working ? nextRoundAt(state) : null,
    question: working ? hand.question : null,
    channels: typed.map((channel) => ({
      channel,
      name: channelName(job, channel),
      unit: unitOf(channel),
      resolution: typedResolution(job, channel) || null,
      last: hand.readings.findLast((each) => each.channel === channel && each.withdrawn === null)?.typed ?? null,
    })),
    readings: hand.readings
      .slice(-listed)
      .toReversed()
      .map(({ channel, time, typed: digits, temperature, by, confirmed, withdrawn, pass, point }) => ({
        channel,
        name: channelName(job, channel),
        unit: unitOf(channel),
        time,
        typed: digits,
        temperature,
        by,
        confirmed,
        withdrawn,
        pass,
        point,
      })),
    taken: readsByHand(job) ? roundsDone(state, hand) : 0,
    wanted: readingsByHand(job).count,
    fewest: fewestReadings,
  };
};

/**
 * What is known of an item that is typed: on the way, how a wired probe beside it comes to rest; then what its few readings say.
 */
export const handLookOf = (state: EngineState, item: Item) => {
  const { hand, job } = state;
  const target = settlingTarget(job, item, state.setPoint?.temperature ?? 0);
  const few =
    hand === null ? null : (hurriedWindow(state, hand, state.at)?.find((look) => look.item.id === item.id) ?? null);
  const steady = hand?.steady ?? null;
  return {
    item: item.id,
    target,
    estimate: few?.judgement.estimate ?? null,
    bound: few?.judgement.U ?? null,
    ready: state.settled[item.id] !== undefined || few?.judgement.verdict === "ready",
    inTheWay:
      hand?.begunAt == null && steady?.latest != null
        ? steady.latest.inTheWay
        : [{ term: few?.judgement.verdict === "drifting" ? ("lag" as const) : ("window" as const), share: 1 }],
    forecast: hand?.begunAt == null && steady !== null ? forecastOf(steady) : null,
  };
};

const inWords = (names: readonly string[]): string =>
  names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;

/** What the person at the bench is asked for now; null where nothing is done by hand at this moment. */
export const handSentence = (state: EngineState): { happening: string; now: string } | null => {
  const { hand, job } = state;
  const stop = currentStop(state);
  if (hand === null || stop === undefined) return null;
  if (awaitsSetPoint(state))
    return {
      happening: `Next is ${state.setPoint?.temperature ?? stop.temperature} °C.`,
      now: `Set the source to ${state.setPoint?.temperature ?? stop.temperature} °C, switch it on, then confirm.`,
    };
  if (!readsByHand(job)) return null;
  if (hand.question !== null)
    return { happening: hand.question.question, now: "Look again: is it as read? Or type it again." };
  const missing = outstanding(hand);
  const taken = roundsDone(state, hand);
  const { count } = readingsByHand(job);
  const of = taken === 0 ? "" : ` ${Math.min(taken, count)} of ${count} readings are taken.`;
  if (missing.length > 0)
    return {
      happening:
        hand.begunAt === null
          ? `Has the source come to ${stop.temperature} °C?`
          : `Measuring at ${stop.temperature} °C.${of}`,
      now: `Read ${inWords(missing.map((channel) => channelName(job, channel)))} now.`,
    };
  if (hand.begunAt !== null)
    return {
      happening:
        taken < count
          ? `Measuring at ${stop.temperature} °C.${of}`
          : `Measuring at ${stop.temperature} °C. ${taken} readings are taken, and they do not show yet that it rests.`,
      now: "Wait for the next reading; keep hands off the probes.",
    };
  return {
    happening: `On the way to ${stop.temperature} °C.`,
    now: "Nothing to read yet; you are called when it is worth while.",
  };
};
