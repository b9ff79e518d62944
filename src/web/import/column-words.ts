import type { ColumnUsesMessage, Job } from "#contract";

export type ColumnUse = ColumnUsesMessage["uses"][number]["use"];

const what = ({ kit, items }: Job, channel: string): string => {
  const read = items.filter((item) => item.channel === channel).map(({ tag }) => tag);
  if (channel === kit.reference.channel) return "reference";
  return read.length > 0 ? read.join(", ") : channel;
};

/** What a column may be for, in words, as the choices of a list. */
export const columnChoices = (job: Job): { value: ColumnUse; label: string }[] => [
  { value: "none", label: "not used" },
  { value: "time", label: "time" },
  { value: "date", label: "date, apart from the time" },
  ...Object.entries(job.bench.channels).map(([channel, { unit }]) => ({
    value: `channel:${channel}` as const,
    label: `${what(job, channel)}, in ${unit}`,
  })),
  { value: "names", label: "names the channel" },
  { value: "value", label: "value of that channel" },
  { value: "unit", label: "unit of that value" },
  { value: "point", label: "which point" },
  { value: "pass", label: "as found or as left" },
];

/** The time zone of this machine at a moment, as a difference from UTC. */
export const zoneHere = (at: Date): string => {
  const minutes = -at.getTimezoneOffset();
  const size = Math.abs(minutes);
  const two = (value: number) => String(value).padStart(2, "0");
  return `${minutes < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
};
