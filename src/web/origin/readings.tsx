import { useMemo } from "react";
import { TimePlot } from "../figures/time-plot.tsx";

export interface ReadingBlock {
  readonly channel: string;
  readonly unit: string;
  readonly times: readonly number[];
  readonly values: readonly number[];
}

const Channel = ({ channel, unit, blocks }: { channel: string; unit: string; blocks: readonly ReadingBlock[] }) => {
  const rows = useMemo(
    () =>
      blocks
        .flatMap((block) => block.times.map((time, index) => ({ time, value: block.values[index] ?? null })))
        .toSorted((a, b) => a.time - b.time),
    [blocks],
  );
  const times = useMemo(() => rows.map(({ time }) => time), [rows]);
  const lines = useMemo(
    () => [
      {
        name: channel,
        unit,
        colour: channel === "reference" ? "--reference-mark" : channel === "source" ? "--source-mark" : "--item-mark",
        width: 1.5,
        points: true,
        values: rows.map(({ value }) => value),
      },
    ],
    [rows, channel, unit],
  );
  return (
    <TimePlot
      times={times}
      lines={lines}
      x="s on the run's clock"
      y={unit}
      height={150}
      label={`Raw readings of ${channel} in ${unit}`}
    />
  );
};

/** The raw readings of a few log lines, one picture for each channel. */
export const Readings = ({ blocks }: { blocks: readonly ReadingBlock[] }) => {
  const channels = [...new Map(blocks.map((block) => [block.channel, block.unit]))];
  return channels.map(([channel, unit]) => (
    <Channel key={channel} channel={channel} unit={unit} blocks={blocks.filter((block) => block.channel === channel)} />
  ));
};
