import { signalAt, type KitCalibration, type Reference } from "#calibration";
import type { BroughtPoint } from "../brought.ts";

export interface StatedUncertainty {
  readonly uncertainty: KitCalibration["uncertainty"] | null;
  readonly k: number | null;
  readonly notes: readonly string[];
}

interface Row {
  readonly temperature: number;
  readonly value: number;
  readonly k: number;
}

/** U in K; a U of the signal is taken through the slope of the sensor there. */
const kelvinOf = (
  { temperature, U, uncertaintyUnit }: BroughtPoint,
  sensor: Reference["sensor"] | null,
): number | null => {
  if (U === null || uncertaintyUnit === "K" || uncertaintyUnit === "°C") return U;
  if (sensor === null) return null;
  const at = signalAt(sensor, temperature);
  return at.ok && at.value.slope !== 0 ? Number((U / Math.abs(at.value.slope)).toPrecision(4)) : null;
};

/** One row for a temperature, the larger where it comes twice. */
const inOrder = (rows: readonly Row[]): Row[] => {
  const sorted = rows.toSorted((a, b) => a.temperature - b.temperature || b.value - a.value);
  return sorted.filter((row, index) => index === 0 || row.temperature > sorted[index - 1]!.temperature);
};

/**
 * The expanded uncertainty of a calibration from its points, as a kit entry states it: one figure where all are the same,
 * otherwise a table over temperature; with one coverage factor, 2 where the points have several.
 */
export const statedUncertainty = (
  points: readonly BroughtPoint[],
  sensor: Reference["sensor"] | null,
): StatedUncertainty => {
  const rows = points.flatMap((point): Row[] => {
    const value = kelvinOf(point, sensor);
    return value === null || point.k === null ? [] : [{ temperature: point.temperature, value, k: point.k }];
  });
  const [first] = rows;
  if (first === undefined) return { uncertainty: null, k: null, notes: [] };
  const notes: string[] = [];
  if (rows.length < points.length)
    notes.push(
      `${points.length - rows.length} of ${points.length} points come without an uncertainty that can be taken over.`,
    );
  if (points.some(({ uncertaintyUnit }) => uncertaintyUnit !== null && uncertaintyUnit !== "K"))
    notes.push("The uncertainties are stated for the signal; they are given in K by the slope of the coefficients.");
  const same = rows.every(({ k }) => k === first.k);
  if (!same) notes.push("The points have different coverage factors; all uncertainties are given for k = 2.");
  const table = inOrder(
    same ? rows : rows.map((row) => ({ ...row, value: Number(((row.value * 2) / row.k).toPrecision(4)) })),
  );
  const even = table.every(({ value }) => value === table[0]!.value);
  return {
    uncertainty: even ? table[0]!.value : table.map(({ temperature, value }) => ({ temperature, value })),
    k: same ? first.k : 2,
    notes,
  };
};
