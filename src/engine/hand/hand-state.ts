import { isTyped, type Item, type Job, type Pass } from "#calibration";
import type { SettlingState } from "#settling";
import type { EngineState } from "../state.ts";

/** A pair that a typed reading makes with what else was known at its moment, °C. */
export interface HandPair {
  readonly reference: number;
  readonly item: number;
}

/** A reading that a person typed, and what has become of it. */
export interface TypedReading {
  readonly channel: string;
  /** When it was seen, and when it was typed, s. */
  readonly time: number;
  readonly enteredAt: number;
  readonly value: number;
  /** The digits as typed. */
  readonly typed: string;
  /** °C; null where the signal gives none. */
  readonly temperature: number | null;
  readonly by: string;
  readonly confirmed: boolean;
  readonly pass: Pass | null;
  readonly point: number | null;
  readonly pairs: Readonly<Record<string, HandPair>>;
  readonly withdrawn: { readonly reason: string; readonly by: string } | null;
}

/** A typed reading that is not likely, until it is confirmed or typed again. */
export interface AskedBack {
  readonly channel: string;
  readonly time: number;
  readonly value: number;
  readonly typed: string;
  readonly question: string;
  readonly by: string;
}

/** What is read and set by hand in a run; null where nothing is. */
export interface HandState {
  readonly readings: readonly TypedReading[];
  /** The present approach began here: what was typed before belongs to no point that is still open, s. */
  readonly since: number;
  /** When somebody confirmed the set point; null while it is waited for. Where the source has a wire: when it was commanded. */
  readonly confirmedAt: number | null;
  readonly asked: { readonly at: number; readonly channels: readonly string[] } | null;
  /** From here on typed readings count for the point; null before the first round. */
  readonly begunAt: number | null;
  readonly question: AskedBack | null;
  /** How near to rest a wired probe is; null where none is wired. */
  readonly steady: SettlingState | null;
  /** Since when the reference has been near the set point, as the written rules mean it, s. */
  readonly reachedSince: number | null;
}

/** The source has no wire: a person sets it. */
export const setsByHand = ({ bench }: Pick<Job, "bench">): boolean => bench.source === "by-hand";

/** Channels that a person reads at every point, in the order in which they are read: reference, junctions, items. */
export const typedChannels = (job: Job): readonly string[] => {
  const junctions = job.items.flatMap(({ coldJunction }) =>
    coldJunction?.kind === "channel" ? [coldJunction.channel] : [],
  );
  const all = [job.kit.reference.channel, ...junctions, ...job.items.map(({ channel }) => channel)];
  return [...new Set(all)].filter((channel) => isTyped(job.bench, channel));
};

/** Whether the points of a job are read by hand, in part or in whole. */
export const readsByHand = (job: Job): boolean => typedChannels(job).length > 0;

/** Items whose pairs are made by hand: typed ones, and all of them where the reference is typed. */
export const handItems = (job: Job): readonly Item[] =>
  job.items.filter(({ channel }) => isTyped(job.bench, channel) || isTyped(job.bench, job.kit.reference.channel));

export const isHandItem = (job: Job, item: string): boolean => handItems(job).some(({ id }) => id === item);

/** The wired probe whose coming to rest says when it is worth while to ask a person; null where all are typed. */
export const steadyChannel = (job: Job): string | null => {
  const { channel } = job.kit.reference;
  if (!isTyped(job.bench, channel)) return channel;
  return job.items.find((item) => !isTyped(job.bench, item.channel))?.channel ?? null;
};

/** Names by which people know a channel: the item's tag, or what it is. */
export const channelName = (job: Job, channel: string): string => {
  const item = job.items.find((each) => each.channel === channel);
  if (item !== undefined) return item.tag;
  if (channel === job.kit.reference.channel) return "the reference";
  return job.items.some(({ coldJunction }) => coldJunction?.kind === "channel" && coldJunction.channel === channel)
    ? "the reference junction"
    : channel;
};

/** Channels that were asked for and are not read yet. */
export const outstanding = ({ asked, readings }: HandState): readonly string[] =>
  asked === null
    ? []
    : asked.channels.filter(
        (channel) =>
          !readings.some((each) => each.channel === channel && each.enteredAt >= asked.at && each.withdrawn === null),
      );

/** The pairs of an item at the present point, oldest first. */
export const pairsOf = (hand: HandState, item: string): (HandPair & { readonly time: number })[] => {
  const { begunAt } = hand;
  if (begunAt === null) return [];
  return hand.readings
    .filter(({ time, withdrawn }) => withdrawn === null && time >= begunAt && time >= hand.since)
    .flatMap(({ time, pairs }) => (pairs[item] === undefined ? [] : [{ time, ...pairs[item] }]))
    .toSorted((a, b) => a.time - b.time);
};

export const awaitsSetPoint = ({ job, hand, check }: EngineState): boolean =>
  hand !== null && setsByHand(job) && hand.confirmedAt === null && check === null;
