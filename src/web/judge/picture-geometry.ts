import type { ItemResult, MeasuredPoint, Pass } from "#contract";

export interface Dot {
  readonly pass: Pass;
  readonly point: MeasuredPoint;
  /** Sideways shift so that two passes at one temperature do not cover each other. */
  readonly shift: number;
  /** The same for one temperature that was reached rising and falling. */
  readonly side: number;
}

const sideOf = ({ approach }: MeasuredPoint): number => (approach === undefined ? 0 : approach === "rising" ? -5 : 5);

export const dotsOf = (item: ItemResult): Dot[] =>
  item.passes.flatMap(({ pass, points }, index) =>
    points.flatMap((point) =>
      point.status === "measured"
        ? [{ pass, point, shift: item.passes.length > 1 ? (index === 0 ? -9 : 9) : 0, side: sideOf(point) }]
        : [],
    ),
  );

export interface Scales {
  readonly x: (celsius: number) => number;
  readonly y: (kelvin: number) => number;
  readonly reach: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const edgesOf = ({ point }: Dot): number[] => {
  const { error, budget, conformity } = point;
  const own = [Math.abs(error.value) + budget.U];
  return conformity === null
    ? own
    : [...own, Math.abs(conformity.tolerance.lower), Math.abs(conformity.tolerance.upper)];
};

export const scalesOf = (dots: readonly Dot[], width: number, height: number): Scales => {
  const temperatures = dots.map(({ point }) => point.nominal);
  const least = Math.min(...temperatures);
  const most = Math.max(...temperatures);
  const pad = (most - least || 20) * 0.09;
  const reach = Math.max(...dots.flatMap(edgesOf)) * 1.12;
  const left = 62;
  const right = width - 10;
  const top = 24;
  const bottom = height - 44;
  return {
    x: (celsius) => left + ((celsius - least + pad) / (most - least + 2 * pad)) * (right - left),
    y: (kelvin) => (top + bottom) / 2 - (kelvin / reach) * ((bottom - top) / 2),
    reach,
    left,
    right,
    top,
    bottom,
  };
};

type Limits = { readonly lower: number; readonly upper: number };

interface Edge {
  readonly at: number;
  readonly tolerance: Limits;
  readonly acceptance: Limits | null;
}

/** Limits along the temperature: one entry for each temperature that has them. */
export const edgesAlong = (dots: readonly Dot[]): Edge[] => {
  const byTemperature = new Map<number, Edge>();
  for (const { point } of dots) {
    if (point.conformity === null) continue;
    const { tolerance, acceptance } = point.conformity;
    const known = byTemperature.get(point.nominal);
    // Two passes differ a little in U; the picture shows the narrower acceptance, never more than may be claimed.
    const narrower =
      known === undefined
        ? acceptance
        : known.acceptance === null || acceptance === null
          ? null
          : {
              lower: Math.max(known.acceptance.lower, acceptance.lower),
              upper: Math.min(known.acceptance.upper, acceptance.upper),
            };
    byTemperature.set(point.nominal, { at: point.nominal, tolerance, acceptance: narrower });
  }
  return [...byTemperature.values()].toSorted((a, b) => a.at - b.at);
};

/** A closed band between two lines along the temperature, drawn level to both edges of the picture. */
export const stripe = (
  edges: readonly Edge[],
  scales: Scales,
  upper: (edge: Edge) => number,
  lower: (edge: Edge) => number,
): string => {
  if (edges.length === 0) return "";
  const along = (value: (edge: Edge) => number): string[] => {
    const first = edges[0]!;
    const last = edges.at(-1)!;
    return [
      `${scales.left} ${scales.y(value(first))}`,
      ...edges.map((edge) => `${scales.x(edge.at)} ${scales.y(value(edge))}`),
      `${scales.right} ${scales.y(value(last))}`,
    ];
  };
  return `M${[...along(upper), ...along(lower).toReversed()].join("L")}Z`;
};

export const border = (edges: readonly Edge[], scales: Scales, value: (edge: Edge) => number): string => {
  if (edges.length === 0) return "";
  const points = edges.map((edge) => `${scales.x(edge.at)} ${scales.y(value(edge))}`);
  return `M${scales.left} ${scales.y(value(edges[0]!))}L${points.join("L")}L${scales.right} ${scales.y(value(edges.at(-1)!))}`;
};

/** Even steps of one, two or five for the upright axis. */
export const evenTicks = (reach: number): { values: number[]; places: number } => {
  const rough = reach / 2.6;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((size) => size * power).find((size) => size >= rough) ?? rough;
  const count = Math.floor(reach / step);
  return {
    values: Array.from({ length: 2 * count + 1 }, (_, index) => (index - count) * step),
    places: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)),
  };
};
