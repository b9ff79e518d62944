import { isTyped, type Item, type Job } from "#calibration";
import type { EngineState } from "../state.ts";
import type { HandPair, HandState } from "./hand.ts";

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
