import { success, type Outcome } from "#fault";
import type { Characterisation, CharacterisationVisit } from "../document/characterisation.ts";
import type { Thermometer } from "../document/thermometer.ts";
import type { FoundFigure } from "../found.ts";
import { expanded, limitOf } from "../levels/expanded.ts";
import { fitLevels, type Levels } from "../levels/fit-levels.ts";
import type { Scatter } from "../levels/scatter.ts";
import type { Visit } from "../levels/visit.ts";
import { inWords, withU } from "../words.ts";
import { besideVisit } from "./beside.ts";

type PlacePart = "axial" | "radial" | "loading";

const titles: Readonly<Record<PlacePart, string>> = {
  axial: "Axial uniformity",
  radial: "Radial uniformity",
  loading: "Loading",
};

/** What a place is called in each part. */
const placeOf: Readonly<Record<PlacePart, (visit: CharacterisationVisit) => string>> = {
  axial: ({ height }) => `${inWords(height)} mm`,
  radial: ({ well }) => `well ${well}`,
  loading: ({ loaded }) => (loaded ? "loaded" : "empty"),
};

/** One part at one temperature: levels fitted, not yet a figure, because its scatter is pooled with that of the others. */
export interface PlaceFit {
  readonly part: PlacePart;
  readonly temperature: number;
  readonly levels: Levels;
  readonly visits: readonly number[];
  readonly moved: readonly string[];
}

/** Fits the levels of a part from its visits at one temperature (rules K1 to K4). */
export const fitPlaces = (
  document: Characterisation & { readonly moved: Thermometer },
  part: PlacePart,
  temperature: number,
  visits: readonly (readonly [number, CharacterisationVisit])[],
): Outcome<PlaceFit> => {
  const where = `${titles[part]} at ${inWords(temperature)} °C`;
  const fitted: Visit[] = [];
  const name = placeOf[part];
  for (const [, visit] of visits) {
    const against = part === "radial" && visit.fixedWell !== undefined ? `well ${visit.fixedWell}` : undefined;
    const one = besideVisit(`${where}, ${name(visit)}`, name(visit), visit.readings, document, against);
    if (!one.ok) return one;
    fitted.push(one.value);
  }
  const base = part === "loading" ? "empty" : undefined;
  const levels = fitLevels(where, fitted, base);
  if (!levels.ok) return levels;
  const moved = fitted
    .filter((each) => each.moved !== 0)
    .map(({ place }) => `${where}: the readings at ${place} still moved; wait longer there.`);
  return success({ part, temperature, levels: levels.value, visits: visits.map(([index]) => index), moved });
};

interface Pair {
  readonly from: string;
  readonly to: string;
  readonly value: number;
  readonly u: number;
}

/** The two places that lie furthest apart, and how far, to − from. */
const furthest = ({ base, places, differences, covariance }: Levels): Pair => {
  const names = [base, ...places];
  const level = (index: number) => (index === 0 ? 0 : differences[index - 1]!);
  const cov = (a: number, b: number) => (a === 0 || b === 0 ? 0 : covariance[a - 1]![b - 1]!);
  let best: Pair | null = null;
  for (const [to, name] of names.entries()) {
    for (let from = 0; from < to; from += 1) {
      const value = level(to) - level(from);
      if (best !== null && Math.abs(value) <= Math.abs(best.value)) continue;
      const u = Math.sqrt(Math.max(0, cov(to, to) + cov(from, from) - 2 * cov(to, from)));
      best = { from: names[from]!, to: name, value, u };
    }
  }
  return best!;
};

const reasons: Readonly<Record<PlacePart, string>> = {
  axial: "reference and item may sense anywhere in the zone, so the largest difference between two heights counts",
  radial: "reference and item may stand in any two of the wells, so the largest difference counts",
  loading: "what filling the other wells changes between the two thermometers",
};

/** The figure of a part: the largest difference between two places, with the pooled scatter of coming back (rules K4 and K5). */
export const placeFigure = (
  { part, temperature, levels, visits }: PlaceFit,
  scatter: Scatter,
  conduction: number,
): FoundFigure => {
  const pair = furthest(levels);
  const own = pair.u * scatter.factor;
  const stem = part === "axial" ? conduction / Math.sqrt(3) : 0;
  const u = Math.hypot(own, stem);
  // Welch-Satterthwaite with one part whose degrees of freedom count.
  const dof = own === 0 ? Number.POSITIVE_INFINITY : scatter.dof * (u / own) ** 4;
  const found = expanded(pair.value, u, dof);
  const drift = levels.drift * 3600;
  return {
    figure: part,
    temperature,
    ...found,
    limit: limitOf(found),
    rationale: `${titles[part]}: ${pair.to} less ${pair.from} is ${withU(found.value, found.U)} (k = ${inWords(found.k)}); alternate readings, drift of the difference ${inWords(drift)} K an hour taken out${scatter.factor > 1 ? `, uncertainty widened ${inWords(scatter.factor)} times for what coming back to a place showed` : ""}; limit |d| + U: ${reasons[part]}`,
    visits,
  };
};
