import { useElementSize } from "@mantine/hooks";
import type { ControlChart as Chart } from "#contract";
import { onDay } from "../figures/clock.ts";
import { signed } from "../figures/digits.ts";
import plot from "../figures/plot.module.css";
import { chartScales, limitLines, spread, type ChartScales, type LimitLine } from "./chart-geometry.ts";
import css from "./upkeep-page.module.css";

const milli = (kelvin: number): string => signed(kelvin * 1000, 1);

const Axes = ({ scales, chart }: { scales: ChartScales; chart: Chart }) => {
  const [first, last] = [chart.points[0]!, chart.points.at(-1)!];
  return (
    <g>
      {scales.ticks.map((tick) => (
        <g key={tick}>
          <path className={css.axis} d={`M${scales.left - 5} ${scales.y(tick)}h5`} />
          <text x={scales.left - 9} y={scales.y(tick) + 5} textAnchor="end">
            {signed(tick * 1000, Math.abs(tick * 1000) % 1 < 1e-6 ? 0 : 1)}
          </text>
        </g>
      ))}
      <text x={scales.left - 9} y={scales.top - 10} textAnchor="end">
        mK
      </text>
      <text x={scales.x(first.at)} y={scales.bottom + 22} textAnchor={first === last ? "middle" : "start"}>
        {onDay(first.at).text}
      </text>
      {first !== last && (
        <text x={scales.x(last.at)} y={scales.bottom + 22} textAnchor="end">
          {onDay(last.at).text}
        </text>
      )}
      <text x={scales.left} y={scales.bottom + 40} className={plot.quiet}>
        day of the check
      </text>
      <path className={css.axis} d={`M${scales.left} ${scales.top}V${scales.bottom}H${scales.right}`} />
    </g>
  );
};

const Lines = ({ lines, scales }: { lines: readonly LimitLine[]; scales: ChartScales }) => {
  const labels = spread(
    lines.map(({ value }) => scales.y(value)),
    17,
  );
  return (
    <g>
      {lines.map((line, index) => (
        <g key={`${line.words} ${line.value}`}>
          <path className={css[line.kind]} d={`M${scales.left} ${scales.y(line.value)}H${scales.right}`} />
          <text x={scales.right + 8} y={labels[index]! + 5} className={plot.quiet}>
            {line.words}
          </text>
        </g>
      ))}
    </g>
  );
};

/** A check is a disc; one with a signal a square on its corner, so that it shows without its colour. */
const Points = ({ chart, scales }: { chart: Chart; scales: ChartScales }) => (
  <g>
    <path
      className={css.run}
      d={chart.points
        .map(({ at, value }, index) => `${index === 0 ? "M" : "L"}${scales.x(at)} ${scales.y(value)}`)
        .join("")}
    />
    {chart.points.map(({ at, value, u, signals }) => {
      const [x, y] = [scales.x(at), scales.y(value)];
      const ink = signals.length > 0 ? "var(--trouble-mark)" : "var(--reference-mark)";
      return (
        <g key={at}>
          <path
            className={css.interval}
            stroke={ink}
            d={`M${x} ${scales.y(value - 2 * u)}V${scales.y(value + 2 * u)}`}
          />
          {signals.length > 0 ? (
            <path d={`M${x} ${y - 8}l8 8-8 8-8-8z`} fill={ink} />
          ) : (
            <circle cx={x} cy={y} r="5" fill={ink} />
          )}
        </g>
      );
    })}
  </g>
);

/** Control chart of a reference's checks: shift over time with its limits as lines, each with its words. */
export const ControlChart = ({
  chart,
  allowance,
  point,
}: {
  chart: Chart;
  allowance: readonly [number, number] | null;
  point: string;
}) => {
  const { ref, width } = useElementSize();
  const lines = limitLines(chart, allowance);
  const scales = chartScales(chart, lines, { width: Math.max(width, 320), height: 320 });
  const words = chart.points.map(({ at, value }) => `${at.slice(0, 10)}: ${milli(value)} mK`).join("; ");
  return (
    <figure className={css.figure}>
      <div className={`${plot.plot} ${css.chart}`} ref={ref}>
        <svg role="img" aria-label={`Shift at the ${point} over time. ${words}`} height="320">
          <Lines lines={lines} scales={scales} />
          <Axes scales={scales} chart={chart} />
          <Points chart={chart} scales={scales} />
        </svg>
      </div>
      <figcaption className={css.caption}>
        Found less kit entry at the {point}, each with ±2 u; allowed drift: within it the change stays within the budget
        at every temperature, W held.{" "}
        {chart.limits === null
          ? "Limits of the chart come with eight earlier checks; until then the drift that the budget allows is the only one."
          : `Limits from the first ${chart.limits.from} checks, s = ${(chart.limits.s * 1000).toPrecision(2)} mK from the moving range.`}
      </figcaption>
    </figure>
  );
};
