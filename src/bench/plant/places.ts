import type { Simulation } from "./simulation.ts";

/** Where a person has put the items' probe, and what goes through the reference. */
export interface Arrangement {
  readonly well?: string | undefined;
  /** Above the bottom of the well, mm. */
  readonly height?: number | undefined;
  /** Immersion, mm. */
  readonly depth?: number | undefined;
  readonly loaded?: boolean | undefined;
  /** mA; none: the ordinary one, whose heating the coefficients hold. */
  readonly current?: number | undefined;
}

export interface Places {
  arrange(arrangement: Arrangement): void;
  /** What the place of the items has more than the bottom of the first well, K. */
  offset(): number;
  /** What is lost along the stem there, beyond what the probe loses anyway, K. */
  lost(well: number, ambient: number): number;
  /** By how much the reference is warmer for its current, K, at a resistance in Ω. */
  heating(resistance: number): number;
}

/** Linear between the given heights; nothing below the first, and the last one above it. */
const alongWell = (rows: readonly { height: number; difference: number }[], height: number): number => {
  let before = { height: 0, difference: 0 };
  for (const row of rows) {
    if (row.height >= height) {
      const span = row.height - before.height;
      const share = span === 0 ? 1 : (height - before.height) / span;
      return before.difference + share * (row.difference - before.difference);
    }
    before = row;
  }
  return before.difference;
};

/** The places of a source that was never characterised: what a test of it is to find. */
export const placesOf = (places: Simulation["places"]): Places => {
  let now: Arrangement = {};
  /** Above the bottom, mm: what was said, or by how much it was drawn out. */
  const height = (): number =>
    now.height ?? (now.depth === undefined || places === undefined ? 0 : Math.max(0, places.depth - now.depth));
  return {
    arrange(arrangement) {
      now = { ...now, ...arrangement };
    },
    offset() {
      if (places === undefined) return 0;
      const well = now.well === undefined ? 0 : (places.wells[now.well] ?? 0);
      return alongWell(places.axial, height()) + well + (now.loaded === true ? places.loading : 0);
    },
    lost(well, ambient) {
      if (places?.stem === undefined) return 0;
      const out = now.depth === undefined ? height() : places.depth - now.depth;
      return places.stem.share * Math.exp(out / places.stem.length) * (well - ambient);
    },
    heating: (resistance) =>
      now.current === undefined ? 0 : (places?.selfHeating ?? 0) * now.current ** 2 * resistance * 1e-3,
  };
};
