import { wiredChannels, type Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import { suggestion } from "../document/nearest-word.ts";

const names = (all: readonly string[]): string => (all.length === 0 ? "" : ` There are: ${all.join(", ")}.`);

/** A channel that is named somewhere must be one of the bench's. */
export const unknownChannel = ({ bench }: Job, channel: string): string | undefined => {
  if (Object.hasOwn(bench.channels, channel)) return undefined;
  const known = Object.keys(bench.channels);
  return `bench.channels has no channel "${channel}".${suggestion(channel, known) || names(known)}`;
};

const instrumentComplaints = ({ bench, items }: Job): Complaint[] => {
  const read = new Set(Object.values(wiredChannels(bench)).map(({ instrument }) => instrument));
  const itemIds = items.map(({ id }) => id);
  const sources = bench.instruments.filter(({ role }) => role === "source");
  return bench.instruments.flatMap(({ id, role }, index) => {
    const path = ["bench", "instruments", index];
    const complaints: Complaint[] = [];
    if (bench.instruments.findIndex((other) => other.id === id) < index) {
      complaints.push({
        path: [...path, "id"],
        message: `"${id}" stands for another instrument already. Give each its own.`,
      });
    }
    if (role === "source" && sources[0]!.id !== id) {
      complaints.push({
        path: [...path, "role"],
        message: `${sources[0]!.id} is the source already. A run has one heat source.`,
      });
    }
    if (role === "item" && !read.has(id) && !itemIds.includes(id)) {
      const advice = suggestion(id, itemIds) || names(itemIds);
      complaints.push({
        path: [...path, "id"],
        message: `the maintenance channel of an item carries the item's own identifier, and no item is called "${id}".${advice}`,
      });
    }
    return complaints;
  });
};

const channelComplaints = ({ bench }: Job): Complaint[] => {
  const known = bench.instruments.map(({ id }) => id);
  const entries = Object.entries(wiredChannels(bench));
  return entries.flatMap(([name, { instrument, input, unit }], index) => {
    const path = ["bench", "channels", name];
    if (!known.includes(instrument)) {
      const advice = suggestion(instrument, known) || names(known);
      return [
        { path: [...path, "instrument"], message: `bench.instruments has no instrument "${instrument}".${advice}` },
      ];
    }
    const [same] =
      entries
        .slice(0, index)
        .find(([, other]) => other.instrument === instrument && other.input === input && other.unit === unit) ?? [];
    if (same === undefined) return [];
    return [
      {
        path: [...path, "input"],
        message: `input ${input} of ${instrument} is the channel "${same}" already. Give each channel its own input.`,
      },
    ];
  });
};

/** What must hold between the instruments and channels of a bench. */
export const benchComplaints = (job: Job): Complaint[] => [...instrumentComplaints(job), ...channelComplaints(job)];
