import type { EarlierCalibration, ItemHistory } from "#contract";

const day = 86_400_000;

/** One error at one time. */
export interface Sight {
  readonly at: number;
  readonly error: number;
  readonly U: number;
  readonly kind: "as-found" | "as-left";
  readonly run: string;
}

/** What the picture of one temperature is drawn from; times in days since 1970. */
export interface Years {
  readonly sights: readonly Sight[];
  readonly limits: { readonly lower: number; readonly upper: number } | null;
  /** The drift onward from the last calibration: middle and the band of 95 %. */
  readonly ahead: readonly { readonly at: number; readonly error: number; readonly band: number }[];
  readonly due: number | null;
}

/** Coverage factor of the pictures: about 95 %, as everywhere on the pages. */
const k = 2;

const dayOf = (date: string): number => Date.parse(`${date.slice(0, 10)}T00:00:00Z`) / day;

export const temperaturesOf = (calibrations: readonly EarlierCalibration[]): number[] =>
  [...new Set(calibrations.flatMap(({ points }) => points.map(({ nominal }) => nominal)))].toSorted((a, b) => a - b);

/** Errors of one temperature over the years, with what its drift makes likely up to the day when the item is due. */
export const yearsOf = ({ calibrations, ahead, proposal }: ItemHistory, nominal: number): Years => {
  const sights: Sight[] = [];
  let limits: Years["limits"] = null;
  for (const { day: date, run, points } of calibrations) {
    const point = points.find((each) => each.nominal === nominal);
    if (point === undefined) continue;
    limits = point.limits ?? limits;
    for (const kind of ["asFound", "asLeft"] as const) {
      const stated = point[kind];
      if (stated === null) continue;
      const name = kind === "asFound" ? "as-found" : "as-left";
      sights.push({ at: dayOf(date), error: stated.error, U: k * stated.u, kind: name, run });
    }
  }
  const expected = ahead.find((each) => each.nominal === nominal)?.expected ?? [];
  return {
    sights,
    limits,
    ahead: expected.map(({ day: date, error, U }) => ({ at: dayOf(date), error, band: U })),
    due: proposal.due === null ? null : dayOf(proposal.due),
  };
};

export interface YearScales {
  readonly x: (at: number) => number;
  readonly y: (kelvin: number) => number;
  readonly reach: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  /** First days of years, with the year. */
  readonly years: readonly { readonly at: number; readonly year: number }[];
}

export const yearScales = ({ sights, limits, ahead, due }: Years, width: number, height: number): YearScales => {
  const times = [...sights.map(({ at }) => at), ...ahead.map(({ at }) => at), ...(due === null ? [] : [due])];
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const pad = Math.max(20, (last - first) * 0.06);
  const edges = [
    ...sights.map(({ error, U }) => Math.abs(error) + U),
    ...(limits === null ? [] : [Math.abs(limits.lower), Math.abs(limits.upper)]),
  ];
  const reach = Math.max(...edges, 1e-6) * 1.15;
  const [left, right, top, bottom] = [62, width - 12, 24, height - 36];
  const [from, to] = [new Date((first - pad) * day).getUTCFullYear(), new Date((last + pad) * day).getUTCFullYear()];
  return {
    x: (at) => left + ((at - first + pad) / (last - first + 2 * pad)) * (right - left),
    y: (kelvin) => {
      const inside = Math.max(-1.1, Math.min(1.1, kelvin / reach));
      return (top + bottom) / 2 - inside * ((bottom - top) / 2);
    },
    reach,
    left,
    right,
    top,
    bottom,
    years: Array.from({ length: to - from + 1 }, (_, index) => ({
      year: from + index,
      at: Date.UTC(from + index, 0, 1) / day,
    })).filter(({ at }) => at >= first - pad && at <= last + pad),
  };
};
