import type { Levels } from "./fit-levels.ts";

/** What repeated visits say of the uncertainties within the visits: by how much they are to be widened. */
export interface Scatter {
  readonly factor: number;
  readonly dof: number;
}

/**
 * Repeatability of coming back to a place, pooled over all fits of a document: the root of Σχ²/Σν where that is more than 1
 * (R. T. Birge, 1932, from memory), with Σν degrees of freedom; otherwise the readings within the visits explain it all.
 */
export const scatterOf = (levels: readonly Pick<Levels, "chiSquare" | "freedom" | "within">[]): Scatter => {
  const freedom = levels.reduce((sum, each) => sum + each.freedom, 0);
  const square = levels.reduce((sum, each) => sum + each.chiSquare, 0);
  const within = levels.reduce((sum, each) => sum + each.within, 0);
  if (freedom > 0 && square > freedom) return { factor: Math.sqrt(square / freedom), dof: freedom };
  return { factor: 1, dof: Math.max(1, within + freedom) };
};
