import "uplot/dist/uPlot.min.css";
import { useElementSize } from "@mantine/hooks";
import { useComputedColorScheme } from "@mantine/core";
import { useEffect, useRef } from "react";
import uPlot from "uplot";
import { nominal } from "./digits.ts";

export interface PlotLine {
  readonly name: string;
  readonly unit: string;
  /** Name of the colour's custom property. */
  readonly colour: string;
  readonly dash?: number[];
  readonly width?: number;
  readonly points?: boolean;
  readonly values: readonly (number | null)[];
}

const colourOf = (name: string): string => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

const optionsOf = (
  lines: readonly PlotLine[],
  x: string,
  y: string,
  size: { width: number; height: number },
): uPlot.Options => {
  const ink = colourOf("--ink-2");
  const font = "13px 'Atkinson Hyperlegible Next Variable', sans-serif";
  const axis: uPlot.Axis = {
    stroke: ink,
    font,
    labelFont: font,
    grid: { stroke: colourOf("--line"), width: 1 },
    ticks: { stroke: colourOf("--line-strong"), width: 1 },
  };
  return {
    ...size,
    legend: { show: false },
    cursor: { show: false },
    scales: { x: { time: false } },
    axes: [
      { ...axis, label: x, labelSize: 20, size: 34, values: (_, ticks) => ticks.map(nominal) },
      { ...axis, label: y, labelSize: 20, size: 80, values: (_, ticks) => ticks.map(nominal) },
    ],
    series: [
      {},
      ...lines.map((line) => ({
        label: line.name,
        stroke: colourOf(line.colour),
        width: line.width ?? 2,
        ...(line.dash && { dash: line.dash }),
        points: { show: line.points ?? false, size: 6 },
      })),
    ],
  };
};

/** One house style for values over time, on canvas; the words beside each line are its legend. */
export const TimePlot = ({
  times,
  lines,
  x,
  y,
  height = 200,
  label,
}: {
  times: readonly number[];
  lines: readonly PlotLine[];
  x: string;
  y: string;
  height?: number;
  label: string;
}) => {
  const { ref, width } = useElementSize();
  const scheme = useComputedColorScheme();
  const place = useRef<HTMLDivElement>(null);
  const held = useRef<{ key: string; plot: uPlot } | null>(null);
  // New values go into the plot that is there; a new size, scheme or set of lines needs a new one.
  useEffect(() => {
    if (place.current === null || width === 0) return;
    const key = [width, height, scheme, x, y, ...lines.map((line) => `${line.name} ${line.colour}`)].join("|");
    const data: uPlot.AlignedData = [[...times], ...lines.map((line) => [...line.values])];
    if (held.current?.key === key) {
      held.current.plot.setData(data);
      return;
    }
    held.current?.plot.destroy();
    held.current = { key, plot: new uPlot(optionsOf(lines, x, y, { width, height }), data, place.current) };
  }, [times, lines, width, height, scheme, x, y]);
  useEffect(
    () => () => {
      held.current?.plot.destroy();
      held.current = null;
    },
    [],
  );
  return (
    <div ref={ref} style={{ width: "100%" }}>
      <ul
        style={{
          display: "flex",
          flexWrap: "wrap",
          gap: "0 var(--step-4)",
          fontSize: "var(--size-note)",
          color: "var(--ink-2)",
        }}
      >
        {lines.map((line) => (
          <li key={line.name} style={{ display: "inline-flex", alignItems: "center", gap: "0.45em" }}>
            <svg width="26" height="8" aria-hidden="true">
              <path
                d="M0 4h26"
                stroke={`var(${line.colour})`}
                strokeWidth={line.width ?? 2}
                strokeDasharray={line.dash?.join(" ")}
              />
            </svg>
            {line.name}
          </li>
        ))}
      </ul>
      <div ref={place} role="img" aria-label={label} style={{ height }} />
    </div>
  );
};
