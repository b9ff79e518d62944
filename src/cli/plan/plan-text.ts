import type { Job } from "#calibration";
import { clockText, type JobPlan, type KitComparison, type PlannedItem, type Timetable } from "#planning";
import { durationText } from "../terminal/duration.ts";

const two = (value: number): string => String(Number(value.toPrecision(2)));
/** U as it is reported: two significant digits, a nought at the end included. */
const uText = (value: number): string => (value < 10 ? value.toPrecision(2) : value.toFixed(0));
const kelvin = (value: number | null): string => (value === null ? "–" : two(value));
/** Near one it is the rest that tells. */
const percent = (share: number | null): string =>
  share === null ? "–" : `${share > 0.99 && share < 1 ? (100 * share).toFixed(2) : two(100 * share)} %`;

const limitsText = (limits: { readonly lower: number; readonly upper: number } | null): string => {
  if (limits === null) return "none";
  const { lower, upper } = limits;
  const text = (value: number): string => String(Number(value.toPrecision(3)));
  return Math.abs(lower + upper) < 1e-9 ? `±${text(upper)}` : `${text(lower)} to ${text(upper)}`;
};

const columns = (rows: readonly (readonly string[])[]): string[] => {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  return rows.map((row) => `  ${row.map((cell, column) => cell.padStart(widths[column]!)).join("   ")}`.trimEnd());
};

const itemLines = ({ tag, points, worst, change }: PlannedItem): string[] => {
  const head = [
    "°C",
    "tolerance K",
    "U K",
    "TUR",
    "accept K",
    "pass",
    "conforms",
    "false accept",
    "false reject",
    "time",
    "from … to",
    "limited by",
  ];
  const rows = points.map((point) => [
    String(point.temperature),
    limitsText(point.tolerance),
    kelvin(point.expectedU),
    point.ratio === null ? "–" : point.ratio.toFixed(1),
    point.tolerance === null ? "–" : point.acceptance === null ? "nothing" : limitsText(point.acceptance),
    percent(point.risk?.pass ?? null),
    percent(point.risk?.conformance ?? null),
    percent(point.risk?.globalRisk?.consumer ?? null),
    percent(point.risk?.globalRisk?.producer ?? null),
    durationText(point.time.total),
    `${Math.round(point.time.shortest / 60)} … ${Math.round(point.time.longest / 60)} min`,
    point.limiting === null ? "–" : `${point.limiting.entry} ${point.limiting.id} (${percent(point.limiting.share)})`,
  ]);
  const at = points.find(({ point }) => point === worst);
  const assumption = points.find(({ risk }) => risk !== null)?.risk?.assumption.words;
  const notes = points
    .filter(({ note }) => note !== null)
    .map(({ temperature, note }) => `  ${temperature} °C: ${note}`);
  return [
    tag,
    ...columns([head, ...rows]),
    ...notes,
    ...(change === null || at === undefined
      ? []
      : [
          `  What helps most at ${at.temperature} °C: ${change.words} brings U from ${uText(change.now)} to ${uText(change.improved)} K.`,
        ]),
    ...(assumption === undefined ? [] : [`  Chances: ${assumption}.`]),
  ];
};

/** A plan for people. */
export const planLines = (job: Job, { obstacles, items, time, order }: JobPlan): string[] => [
  `${job.job}  ${job.title}`,
  ...obstacles.map(({ message }) => `In the way: ${message}`),
  "",
  ...items.flatMap((item) => [...itemLines(item), ""]),
  `Points: ${durationText(time.points)} (${durationText(time.shortest)} to ${durationText(time.longest)}). Touch-safe after ${durationText(time.leaving.touchSafe)} more, to be carried after ${durationText(time.leaving.transport)}. In all ${durationText(time.whole)}.`,
  ...(time.asLeft === null ? [] : [`A second pass after an adjustment: ${durationText(time.asLeft)} more.`]),
  time.basis,
  order.differs
    ? `Quickest order: ${order.temperatures.join(", ")} °C; it saves ${durationText(order.saves)}${order.exact ? "" : " (the best that was found)"}.`
    : `No order that is allowed is quicker than the written one${order.exact ? "" : " (as far as was looked)"}.`,
  ...order.bound,
  "",
];

/** Kits beside each other, at the hardest point of each. */
export const comparisonLines = ({ kits, words }: KitComparison): string[] => [
  "Kits",
  ...columns([
    ["kit", "good enough", "hardest °C", "U K", "TUR", "false accept", "false reject", "time", "limited by"],
    ...kits.map(({ name, goodEnough, worst, seconds }) => [
      name,
      goodEnough ? "yes" : "no",
      worst === null ? "–" : String(worst.temperature),
      kelvin(worst?.expectedU ?? null),
      worst === null ? "–" : worst.ratio.toFixed(1),
      percent(worst?.consumerRisk ?? null),
      percent(worst?.producerRisk ?? null),
      durationText(seconds),
      worst?.limiting == null ? "–" : `${worst.limiting.entry} ${worst.limiting.id}`,
    ]),
  ]),
  ...kits.map((kit) => `  ${kit.name}: ${kit.words}`),
  words,
  "",
];

/** The day with clock times. */
export const timetableLines = ({ entries, leftOut, assumptions, finish }: Timetable): string[] => [
  "The day",
  ...entries.map(({ from, to, words }) => `  ${clockText(from)} – ${clockText(to)}   ${words}`),
  ...(entries.length === 0 ? [] : [`  ${clockText(finish)}   done`]),
  ...leftOut.map(({ words }) => `Left out: ${words}`),
  ...assumptions,
];
