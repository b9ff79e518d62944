import { NativeSelect } from "@mantine/core";
import type { ColumnUsesMessage, Job } from "#contract";
import css from "./readings-import.module.css";
import { columnChoices } from "./column-words.ts";

/** Where one column names the channel of its row: which channel of the job each name is. */
export const FileChannels = ({
  job,
  names,
  uses,
  change,
}: {
  job: Job;
  names: readonly string[];
  uses: ColumnUsesMessage;
  change: (uses: ColumnUsesMessage) => void;
}) => {
  const strange = names.filter((name) => !(name in job.bench.channels));
  if (strange.length === 0) return null;
  const choices = columnChoices(job)
    .filter(({ value }) => value.startsWith("channel:"))
    .map(({ value, label }) => ({ value: value.slice("channel:".length), label }));
  const set = (name: string, channel: string): void => {
    const { [name]: _, ...others } = uses.channelNames;
    change({ ...uses, channelNames: channel === "" ? others : { ...others, [name]: channel } });
  };
  return (
    <div className={css.fields}>
      {strange.map((name) => (
        <NativeSelect
          key={name}
          label={`“${name}” is`}
          value={uses.channelNames[name] ?? ""}
          data={[{ value: "", label: "not known" }, ...choices]}
          onChange={(event) => set(name, event.currentTarget.value)}
        />
      ))}
    </div>
  );
};
