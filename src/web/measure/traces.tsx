import { useMemo } from "react";
import type { Approach } from "#contract";
import { TimePlot } from "../figures/time-plot.tsx";

/** Reference, item and source over the approach. */
export const Traces = ({ approach, item, from }: { approach: Approach; item: string; from: number }) => {
  const times = useMemo(() => approach.times.map((time) => (time - from) / 60), [approach, from]);
  const lines = useMemo(
    () => [
      { name: "source, its own sensor", unit: "°C", colour: "--source-mark", dash: [2, 4], values: approach.source },
      { name: "reference", unit: "°C", colour: "--reference-mark", width: 2.5, values: approach.reference },
      {
        name: "item",
        unit: "°C",
        colour: "--item-mark",
        dash: [9, 4],
        width: 2.5,
        values: approach.items.find((entry) => entry.item === item)?.temperature ?? [],
      },
    ],
    [approach, item],
  );
  return (
    <TimePlot
      times={times}
      lines={lines}
      x="minutes since the set point changed"
      y="°C"
      label="Temperatures of source, reference and item over the approach"
    />
  );
};
