import type { Picture, PictureLimit } from "../document/model.ts";
import { setMinus } from "../document/typeset.ts";

/** Where things of a picture stand, in mm from its upper left corner. The template draws them as they are. */
export type Point = readonly [number, number];

export interface PictureLayout {
  readonly width: number;
  readonly height: number;
  readonly plot: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
  readonly band: readonly Point[];
  readonly guards: readonly (readonly Point[])[];
  readonly limitLines: readonly (readonly Point[])[];
  readonly acceptanceLines: readonly (readonly Point[])[];
  readonly zero: number | null;
  readonly xTicks: readonly { readonly at: number; readonly text: string | null }[];
  readonly yTicks: readonly { readonly at: number; readonly text: string }[];
  readonly marks: readonly {
    readonly pass: "as-found" | "as-left";
    readonly x: number;
    readonly y: number;
    readonly low: number;
    readonly high: number;
  }[];
}

const width = 170;
const height = 61;
const plot = { left: 12, right: 170, top: 2, bottom: 50 } as const;
const inset = 7;
/** Room that a label on the x axis needs, mm. */
const labelWidth = 9;
const dodge = 1.3;

/** A step of 1, 2 or 5 times a power of ten that divides a span into about so many parts. */
const tickStep = (span: number, parts: number): number => {
  const raw = span / parts;
  const power = 10 ** Math.floor(Math.log10(raw));
  const factor = raw / power;
  return (factor < 1.5 ? 1 : factor < 3.5 ? 2 : factor < 7.5 ? 5 : 10) * power;
};

const valueRange = (picture: Picture): { low: number; high: number } => {
  const values = [
    0,
    ...picture.marks.flatMap(({ error, U }) => [error - U, error + U]),
    ...picture.limits.flatMap(({ lower, upper }) => [lower, upper]),
  ];
  const low = Math.min(...values);
  const high = Math.max(...values);
  const span = high - low || 1;
  return { low: low - span * 0.08, high: high + span * 0.08 };
};

const round = (value: number): number => Math.round(value * 1000) / 1000;

/** Curves of limits over temperature, led on flat to both edges of the plot. */
const curve = (
  limits: readonly PictureLimit[],
  x: (t: number) => number,
  y: (limit: PictureLimit) => number,
): readonly Point[] => {
  const first = limits[0]!;
  const last = limits.at(-1)!;
  return [
    [plot.left, y(first)],
    ...limits.map((limit): Point => [x(limit.temperature), y(limit)]),
    [plot.right, y(last)],
  ];
};

const between = (upper: readonly Point[], lower: readonly Point[]): readonly Point[] => [
  ...upper,
  ...lower.toReversed(),
];

/** A number of an axis in print. */
type Print = (plain: string) => string;

const xTicksOf = (
  temperatures: readonly number[],
  x: (t: number) => number,
  number: Print,
): PictureLayout["xTicks"] => {
  let lastLabel = -Infinity;
  return temperatures.map((temperature) => {
    const at = x(temperature);
    const labelled = at - lastLabel >= labelWidth;
    if (labelled) lastLabel = at;
    return { at, text: labelled ? number(String(temperature)) : null };
  });
};

const yTicksOf = (low: number, high: number, y: (value: number) => number, number: Print): PictureLayout["yTicks"] => {
  const step = tickStep(high - low, 5);
  const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const first = Math.ceil(low / step);
  const count = Math.floor(high / step) - first + 1;
  return Array.from({ length: count }, (_, index) => {
    const value = (first + index) * step;
    return { at: y(value), text: first + index === 0 ? "0" : number(value.toFixed(places)) };
  });
};

/** Places the marks, bands and axes of a picture. Scales and ticks are layout; every value shown is the document's. */
export const layPicture = (picture: Picture): PictureLayout => {
  const number: Print = (plain) => setMinus(plain.replace(".", picture.sign));
  const temperatures = [...new Set(picture.marks.map(({ temperature }) => temperature))].toSorted((a, b) => a - b);
  const coldest = temperatures[0]!;
  const span = temperatures.at(-1)! - coldest;
  const inner = plot.right - plot.left - 2 * inset;
  const x = (t: number): number =>
    round(span === 0 ? (plot.left + plot.right) / 2 : plot.left + inset + ((t - coldest) / span) * inner);
  const { low, high } = valueRange(picture);
  const y = (value: number): number => round(plot.bottom - ((value - low) / (high - low)) * (plot.bottom - plot.top));

  const passes = new Set(picture.marks.map(({ pass }) => pass));
  const shift = (pass: "as-found" | "as-left"): number => (passes.size < 2 ? 0 : pass === "as-found" ? -dodge : dodge);
  const limits = picture.limits;
  const has = limits.length > 0;
  const middle = (limit: PictureLimit): number => (limit.lower + limit.upper) / 2;
  const upper = has ? curve(limits, x, (limit) => y(limit.upper)) : [];
  const lower = has ? curve(limits, x, (limit) => y(limit.lower)) : [];
  const guarded = has && picture.guarded;
  const upperAcceptance = guarded ? curve(limits, x, (limit) => y(limit.acceptance?.upper ?? middle(limit))) : [];
  const lowerAcceptance = guarded ? curve(limits, x, (limit) => y(limit.acceptance?.lower ?? middle(limit))) : [];
  return {
    width,
    height,
    plot,
    band: has ? between(guarded ? upperAcceptance : upper, guarded ? lowerAcceptance : lower) : [],
    guards: guarded ? [between(upper, upperAcceptance), between(lowerAcceptance, lower)] : [],
    limitLines: has ? [upper, lower] : [],
    acceptanceLines: guarded ? [upperAcceptance, lowerAcceptance] : [],
    zero: y(0),
    xTicks: xTicksOf(temperatures, x, number),
    yTicks: yTicksOf(low, high, y, number),
    marks: picture.marks.map(({ pass, temperature, error, U }) => ({
      pass,
      x: round(x(temperature) + shift(pass)),
      y: y(error),
      low: y(error - U),
      high: y(error + U),
    })),
  };
};
