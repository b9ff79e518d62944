import type { JobSummary } from "#contract";
import css from "./jobs-page.module.css";

const width = 220;
const height = 44;

/** A job's route in the size of a word: the same ramp and dwell, solid as far as it is measured. */
export const MiniRoute = ({ job }: { job: JobSummary }) => {
  const temperatures = job.passes.flatMap(() => job.points);
  const least = Math.min(...temperatures);
  const span = Math.max(...temperatures) - least || 1;
  const cell = width / temperatures.length;
  const places = temperatures.map((temperature, index) => ({
    x: cell * (index + 0.5),
    y: 34 - ((temperature - least) / span) * 24,
  }));
  const measured = job.latestRun?.measured ?? 0;
  const line = places.flatMap(({ x, y }) => [`${x - cell * 0.27},${y}`, `${x + cell * 0.27},${y}`]);
  return (
    <svg className={css.mini} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      <polyline
        points={line.join(" ")}
        fill="none"
        stroke="var(--line-strong)"
        strokeWidth="1.5"
        strokeDasharray="2 4"
        strokeLinecap="round"
      />
      {measured > 0 && (
        <polyline points={line.slice(0, 2 * measured).join(" ")} fill="none" stroke="var(--ink)" strokeWidth="2.5" />
      )}
      {places.map(({ x, y }, index) => (
        <circle
          key={x}
          cx={x}
          cy={y}
          r="5"
          fill={index < measured ? "var(--ink)" : "var(--enamel)"}
          stroke={index < measured ? "var(--ink)" : "var(--line-strong)"}
          strokeWidth="2"
        />
      ))}
    </svg>
  );
};
