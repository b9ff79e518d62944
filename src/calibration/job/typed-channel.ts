import type { Item } from "./item.ts";
import type { Bench, Job, WiredChannel } from "./job.ts";

/** Readings by hand where the procedure says nothing: so many, so far apart in seconds (common practice, no source). */
const usualByHand = { count: 6, interval: 60 } as const;

/** Whether a person reads the channel and types it; a channel that the bench does not have is none of that kind. */
export const isTyped = ({ channels }: Pick<Bench, "channels">, channel: string): boolean =>
  Object.hasOwn(channels, channel) && channels[channel]!.typed === true;

/** The channels that instruments read. */
export const wiredChannels = ({ channels }: Pick<Bench, "channels">): Record<string, WiredChannel> =>
  Object.fromEntries(
    Object.entries(channels).flatMap(([name, channel]) => (channel.typed === true ? [] : [[name, channel] as const])),
  );

/** Whose display a person reads on a typed channel: what the job says, else the item's own for an indication. */
export const displayRead = (job: Pick<Job, "bench" | "items">, channel: string): "readout" | "item" | "source" => {
  const place = job.bench.channels[channel];
  if (place?.typed === true && place.display !== undefined) return place.display;
  return job.items.some((item) => item.channel === channel && item.sensor.kind === "indication") ? "item" : "readout";
};

/** Whether the pairs of an item are read by hand: itself, or the reference beside it. */
export const readByHand = (job: Pick<Job, "bench" | "kit">, { channel }: Pick<Item, "channel">): boolean =>
  isTyped(job.bench, channel) || isTyped(job.bench, job.kit.reference.channel);

/** Smallest step that a person reads on a typed channel, in its unit; 0 where the channel is wired or nothing is said. */
export const typedResolution = ({ bench }: Pick<Job, "bench">, channel: string): number => {
  const place = bench.channels[channel];
  return place?.typed === true ? (place.resolution ?? 0) : 0;
};

/** How many readings are typed at a point, and how far apart, s. */
export const readingsByHand = ({ procedure }: Pick<Job, "procedure">): { count: number; interval: number } =>
  procedure.readingsByHand ?? usualByHand;
