import type { ControlChart } from "#contract";

/** A line across the chart, K, with its words at the right edge; each kind has a dash of its own. */
export interface LimitLine {
  readonly value: number;
  readonly words: string;
  readonly kind: "centre" | "warning" | "action" | "allowance";
}

/** The limits that the chart has: those of its history, and what the budget allows. */
export const limitLines = ({ limits }: ControlChart, allowance: readonly [number, number] | null): LimitLine[] => [
  ...(limits === null
    ? []
    : [
        { value: limits.centre, words: "centre", kind: "centre" as const },
        { value: limits.warning[0], words: "−2 s", kind: "warning" as const },
        { value: limits.warning[1], words: "+2 s", kind: "warning" as const },
        { value: limits.action[0], words: "−3 s", kind: "action" as const },
        { value: limits.action[1], words: "+3 s", kind: "action" as const },
      ]),
  ...(allowance ?? []).map((value) => ({ value, words: "allowed drift", kind: "allowance" as const })),
];

export interface ChartScales {
  readonly x: (at: string) => number;
  readonly y: (kelvin: number) => number;
  readonly ticks: readonly number[];
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** A step of 1, 2 or 5 times a power of ten that divides a span into about five. */
export const evenStep = (span: number): number => {
  const rough = span / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  return power * [1, 2, 5, 10].find((factor) => factor * power >= rough)!;
};

/** Room for everything that is drawn: values with their intervals, and the lines. */
export const chartScales = (
  { points }: ControlChart,
  lines: readonly LimitLine[],
  { width, height }: { readonly width: number; readonly height: number },
): ChartScales => {
  const edges = [
    ...points.flatMap(({ value, u }) => [value - 2 * u, value + 2 * u]),
    ...lines.map(({ value }) => value),
    0,
  ];
  const [low, high] = [Math.min(...edges), Math.max(...edges)];
  const pad = (high - low || 0.002) * 0.08;
  const [least, most] = [low - pad, high + pad];
  const [left, right, top, bottom] = [66, width - 104, 26, height - 46];
  const times = points.map(({ at }) => Date.parse(at));
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const step = evenStep(most - least);
  const ticks: number[] = [];
  for (let tick = Math.ceil(least / step); tick * step <= most; tick += 1)
    ticks.push(Number((tick * step).toPrecision(8)));
  return {
    x: (at) =>
      first === last
        ? (left + right) / 2
        : left + 14 + ((Date.parse(at) - first) / (last - first)) * (right - left - 28),
    y: (kelvin) => bottom - ((kelvin - least) / (most - least)) * (bottom - top),
    ticks,
    left,
    right,
    top,
    bottom,
  };
};

/** Heights of labels so that no two cover each other: those that are nearer than `gap` are moved apart downwards. */
export const spread = (heights: readonly number[], gap: number): number[] => {
  const order = heights.map((height, index) => ({ height, index })).toSorted((a, b) => a.height - b.height);
  const placed: number[] = [];
  let before = Number.NEGATIVE_INFINITY;
  for (const { height, index } of order) {
    before = Math.max(height, before + gap);
    placed[index] = before;
  }
  return placed;
};
