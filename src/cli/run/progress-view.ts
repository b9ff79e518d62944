import type { RunView, SettlingView, Stop } from "#contract";
import { bar } from "../terminal/bar.ts";
import { durationText } from "../terminal/duration.ts";

const marks: Readonly<Record<Stop["status"], string>> = {
  ahead: "○",
  approaching: "→",
  settling: "◔",
  measuring: "◑",
  measured: "●",
  "not-measured": "·",
  skipped: "–",
  trouble: "▲",
};

const degrees = (value: number | null | undefined, places: number): string =>
  value === null || value === undefined ? "—" : value.toFixed(places);

/** Digits after the point that show a difference worth seeing beside a figure of this size. */
const placesFor = (size: number): number => (size >= 1 ? 1 : size >= 0.1 ? 2 : 3);

const settlingLine = (view: RunView, settling: SettlingView): string => {
  const places = placesFor(settling.target) + 1;
  const bound = settling.bound === null ? "not known yet" : `±${settling.bound.toFixed(places)} K`;
  const left = settling.forecast === null ? "" : `, ready in about ${durationText(settling.forecast.at - view.at)}`;
  const tag = view.items.find((item) => item.item === settling.item)?.tag ?? settling.item;
  const state = settling.ready ? "ready" : `bound ${bound}, allowed ±${settling.target.toFixed(places)} K${left}`;
  return `  ${tag}: ${state}`;
};

/** The stop that is being worked on, as a name: `as-found 100 °C`. */
export const stopName = (stop: Pick<Stop, "pass" | "temperature">): string => `${stop.pass} ${stop.temperature} °C`;

const currentStop = (view: RunView): Stop | undefined =>
  view.route.find((stop) => stop.pass === view.pass && stop.point === view.point);

/** Lines of the picture of a run on a terminal of `columns` characters; each line fits. */
export const progressLines = (view: RunView, columns: number): string[] => {
  const stop = currentStop(view);
  const done = view.route.reduce((sum, each) => sum + each.share, 0) / Math.max(1, view.route.length);
  const width = Math.max(8, Math.min(40, columns - 34));
  const route = view.route.map((each) => `${marks[each.status]} ${each.temperature}`).join("  ");
  const lines = [
    `  ${bar(done, width)} ${Math.round(100 * done)} %   clock ${durationText(view.at)}`,
    `  ${route}`,
    stop === undefined ? "" : `  ${stopName(stop)}: ${bar(stop.share, width)} ${Math.round(100 * stop.share)} %`,
    `  reference ${degrees(view.reference?.temperature, 3)} °C   ${view.items
      .map((item) => `${item.tag} ${degrees(item.latest?.temperature, 3)} °C, error ${degrees(item.error, 3)} K`)
      .join("   ")}`,
    ...view.settling.map((settling) => settlingLine(view, settling)),
    ...(view.readings === null ? [] : [`  readings ${view.readings.taken} of ${view.readings.wanted}`]),
    `  ${view.sentence.happening} ${view.sentence.now}`,
  ];
  return lines.map((line) => (line.length > columns ? `${line.slice(0, Math.max(0, columns - 1))}…` : line));
};

/** One line of progress for a program that reads along. `events`: log lines that are safe on the disk. */
export const progressRecord = (view: RunView, events: number): Record<string, unknown> => ({
  kind: "progress",
  events,
  at: Math.round(view.at * 10) / 10,
  stage: view.stage,
  pass: view.pass,
  point: view.point,
  setPoint: view.setPoint,
  reference: view.reference?.temperature ?? null,
  items: view.items.map(({ item, latest, error }) => ({ item, temperature: latest?.temperature ?? null, error })),
  settling: view.settling.map(({ item, bound, target, ready, forecast }) => ({
    item,
    bound,
    target,
    ready,
    secondsLeft: forecast === null ? null : Math.max(0, Math.round(forecast.at - view.at)),
  })),
  readings: view.readings,
  measured: view.route.filter((stop) => stop.status === "measured").length,
  points: view.route.length,
  message: `${view.sentence.happening} ${view.sentence.now}`.trim(),
});
