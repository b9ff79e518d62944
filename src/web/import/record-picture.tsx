import type { ReadingsCheck } from "#contract";
import { nominal, plain } from "../figures/digits.ts";
import plot from "../figures/plot.module.css";
import { elapsedText } from "./elapsed.ts";
import css from "./readings-import.module.css";

const box = { width: 900, height: 240, left: 64, right: 36, top: 26, bottom: 26 };

/** The reference over the whole record, with the stretches that count for a point. */
export const RecordPicture = ({ check: { picture, marks } }: { check: ReadingsCheck }) => {
  const known = picture.reference.filter((value) => value !== null);
  const [first, last] = [picture.times[0], picture.times.at(-1)];
  if (known.length < 2 || first === undefined || last === undefined || last <= first)
    return (
      <p>
        The reference’s readings give no temperatures, so there is no picture. Look at which column it is, and in which
        unit.
      </p>
    );
  const temperatures = [...known, ...marks.map(({ temperature }) => temperature)];
  const [low, high] = [Math.min(...temperatures), Math.max(...temperatures)];
  const span = high - low || 1;
  const x = (time: number) => box.left + ((time - first) / (last - first)) * (box.width - box.left - box.right);
  const y = (value: number) => box.top + ((high - value) / span) * (box.height - box.top - box.bottom);
  const line = picture.times
    .flatMap((time, index) => {
      const value = picture.reference[index];
      return value == null ? [] : [`${x(time).toFixed(1)} ${y(value).toFixed(1)}`];
    })
    .join("L");
  return (
    <div className={plot.plot}>
      <svg
        viewBox={`0 0 ${box.width} ${box.height}`}
        role="img"
        aria-label={`Reference from ${plain(low, 1)} to ${plain(high, 1)} °C over ${elapsedText(last - first)}; ${marks.length} windows`}
      >
        {marks.map(({ pass, point, from, to, temperature }) => (
          <g key={`${pass} ${point}`}>
            <rect
              className={css.window ?? ""}
              x={x(from)}
              y={box.top}
              width={Math.max(3, x(to) - x(from))}
              height={box.height - box.top - box.bottom}
            />
            <text className={plot.firm ?? ""} x={(x(from) + x(to)) / 2} y={18} textAnchor="middle">
              {nominal(temperature)} °C
            </text>
          </g>
        ))}
        <path className={css.trace ?? ""} d={`M${line}`} />
        {[low, high].map((value) => (
          <text key={value} className={plot.quiet ?? ""} x={box.left - 8} y={y(value) + 5} textAnchor="end">
            {plain(value, 1)}
          </text>
        ))}
        {[first, last].map((time, index) => (
          <text
            key={time}
            className={plot.quiet ?? ""}
            x={x(time)}
            y={box.height - 6}
            textAnchor={index === 0 ? "start" : "end"}
          >
            {elapsedText(time)}
          </text>
        ))}
      </svg>
    </div>
  );
};
