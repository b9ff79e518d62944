import { useElementSize } from "@mantine/hooks";
import type { KeyboardEvent } from "react";
import type { Stop } from "#contract";
import { nominal, placesFor, signed } from "../figures/digits.ts";
import type { ReportedErrors } from "./reported-errors.ts";
import { passWords, stopKey } from "./stops.ts";
import css from "./route-line.module.css";
import { StopShape } from "./stop-shape.tsx";

const height = 70;
const high = 23;
const low = 55;

interface Place {
  readonly stop: Stop;
  readonly x: number;
  readonly y: number;
  readonly half: number;
}

/** Where each stop lies: left to right as they are visited, up and down by temperature; each has its level stretch, the dwell. */
const layOut = (stops: readonly Stop[], width: number): Place[] => {
  const temperatures = stops.map((stop) => stop.temperature);
  const least = Math.min(...temperatures);
  const span = Math.max(...temperatures) - least || 1;
  const cell = width / stops.length;
  return stops.map((stop, index) => ({
    stop,
    x: cell * (index + 0.5),
    y: low - ((stop.temperature - least) / span) * (low - high),
    half: Math.max(15, cell * 0.27),
  }));
};

/** The line up to the stop that was reached, and the line from there on; each ends in the middle of that stop. */
const lines = (places: readonly Place[], reached: number, over: boolean): { behind: string; ahead: string } => {
  const level = ({ x, y, half }: Place): string[] => [`${x - half},${y}`, `${x + half},${y}`];
  const at = places[reached];
  if (at === undefined) return { behind: "", ahead: places.flatMap(level).join(" ") };
  const before = places.slice(0, reached).flatMap(level);
  const after = places.slice(reached + 1).flatMap(level);
  const middle = `${at.x},${at.y}`;
  const end = `${at.x + at.half},${at.y}`;
  const come = [`0,${places[0]!.y}`, ...before, `${at.x - at.half},${at.y}`, middle];
  return over
    ? { behind: [...come, end].join(" "), ahead: [end, ...after].join(" ") }
    : { behind: come.join(" "), ahead: [middle, end, ...after].join(" ") };
};

const statusWords: Record<Stop["status"], string> = {
  ahead: "to come",
  approaching: "on the way there",
  settling: "settling",
  measuring: "being measured",
  measured: "measured",
  "not-measured": "not measured",
  skipped: "skipped",
  trouble: "in trouble",
};

const errorText = (stop: Stop, item: string | null, reported: ReportedErrors): string | null => {
  const found = stop.errors.find((entry) => entry.item === item) ?? stop.errors[0];
  if (stop.status !== "measured") return null;
  if (found === undefined) return reported.get(stopKey(stop)) ?? null;
  return reported.get(stopKey(stop)) ?? `${signed(found.error, placesFor(found.U))} K`;
};

/** How a ramp is taken, in a word; nothing for a point whose side follows from its neighbours. */
const wayOf = (stop: Stop): string => (stop.direction === "rising" ? "↑ " : stop.direction === "falling" ? "↓ " : "");

const under = (stop: Stop, item: string | null, reported: ReportedErrors): string => {
  const error = errorText(stop, item, reported);
  if (error !== null) return error;
  if (stop.status === "settling") return `settling, ${Math.round(stop.share * 100)}\u00a0%`;
  return stop.status === "ahead" || stop.status === "not-measured" ? "" : statusWords[stop.status];
};

/** What the picture says by shape and place, for those who hear the route. */
const unseen = (stop: Stop): string =>
  `${stop.direction === null ? "" : `, ${stop.direction}`}${stop.added ? ", added" : ""}, ${passWords[stop.pass]}, ${statusWords[stop.status]}${stop.reason === null ? "" : `: ${stop.reason}`}`;

/** Moves the focus along the route with the arrow keys. */
const walk = (event: KeyboardEvent<HTMLDivElement>): void => {
  const step = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
  if (step === 0) return;
  const buttons = [...event.currentTarget.querySelectorAll("button")];
  const next = buttons[buttons.indexOf(document.activeElement as HTMLButtonElement) + step];
  if (next === undefined) return;
  event.preventDefault();
  next.focus();
};

/**
 * The route: the run's clock, its menu and its summary in one line. It is drawn as the run itself goes, ramp and dwell,
 * so that a long climb or a late cooling is seen before it is met.
 */
export const RouteLine = ({
  stops,
  present,
  selected,
  item,
  reported,
  select,
}: {
  stops: readonly Stop[];
  present: Stop | null;
  selected: string | null;
  item: string | null;
  reported: ReportedErrors;
  select: (stop: Stop) => void;
}) => {
  const { ref, width: seen } = useElementSize();
  const width = Math.max(seen, stops.length * 56, 200);
  const places = layOut(stops, width);
  const at = present === null ? -1 : stops.findIndex((stop) => stopKey(stop) === stopKey(present));
  const last = stops.findLastIndex((stop) => stop.status !== "ahead" && stop.status !== "not-measured");
  const line = lines(places, at >= 0 ? at : last, at < 0);
  // "+0.217 ± 0.098 K" needs about this much; where there is less, it takes two lines.
  const narrow = width / stops.length < 124;
  const passes = [...new Set(stops.map((stop) => stop.pass))];
  return (
    <nav className={css.route} ref={ref} aria-label="Route">
      <div className={narrow ? `${css.inner} ${css.tall}` : css.inner} style={{ width }}>
        <div
          className={css.passes}
          style={{
            gridTemplateColumns: passes
              .map((pass) => `${stops.filter((stop) => stop.pass === pass).length}fr`)
              .join(" "),
          }}
          aria-hidden="true"
        >
          {passes.map((pass) => (
            <span key={pass}>{passWords[pass]}</span>
          ))}
        </div>
        <svg className={css.profile} viewBox={`0 0 ${width} ${height}`} preserveAspectRatio="none" aria-hidden="true">
          <polyline className={css.ahead} points={line.ahead} />
          <polyline className={css.behind} points={line.behind} />
          {places.map(({ stop, x, y }) => (
            <StopShape
              key={stopKey(stop)}
              stop={stop}
              x={x}
              y={y}
              present={present !== null && stopKey(present) === stopKey(stop)}
            />
          ))}
        </svg>
        <div className={css.labels} />
        <div className={css.stops} onKeyDown={walk}>
          {stops.map((stop) => (
            <button
              key={stopKey(stop)}
              type="button"
              className={css.stop}
              aria-pressed={selected === stopKey(stop)}
              aria-current={present !== null && stopKey(present) === stopKey(stop) ? "step" : undefined}
              onClick={() => select(stop)}
            >
              <span className={css.degrees}>
                {wayOf(stop)}
                {nominal(stop.temperature)} °C{stop.added && " +"}
              </span>
              <span className={narrow ? css.twoLines : css.later}>{under(stop, item, reported)}</span>
              <span className="unseen">{unseen(stop)}</span>
            </button>
          ))}
        </div>
      </div>
    </nav>
  );
};
