import type { BenchEvidence, ItemEvidence, PointEvidence } from "../evidence/evidence.ts";
import type { Place } from "../hypotheses/signal-model.ts";
import type { Problem } from "./problem.ts";

export const placeOf = (
  { reference, referenceSignal, junction }: Pick<PointEvidence, "reference" | "referenceSignal" | "junction">,
  owner: number,
  ambient: number,
): Place => ({ owner, reference, referenceSignal, junction, ambient, offset: 0 });

/** Mean of the logarithm of scatter over ordinary error. */
const scatterOf = ({ points, ordinary }: ItemEvidence): number | null => {
  const known = points.flatMap(({ scatter, reference }) =>
    scatter === null || !(scatter > 0) ? [] : [Math.log(scatter / ordinary(reference))],
  );
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0) / known.length;
};

const stillOf = ({ points }: ItemEvidence): boolean | null =>
  points.some(({ still }) => still === false) ? false : points.every(({ still }) => still === true) ? true : null;

/** The points of some of the items, one item after the other. */
export const problemOf = (evidence: BenchEvidence, which: readonly number[]): Problem => {
  const starts: number[] = [];
  let start = 0;
  for (const { points } of evidence.items) {
    starts.push(start);
    start += points.length;
  }
  const rows = which.flatMap((index) => evidence.items[index]!.points.map((_, point) => starts[index]! + point));
  const taken = which.map((index) => evidence.items[index]!);
  return {
    places: taken.flatMap(({ points }, owner) => points.map((point) => placeOf(point, owner, evidence.ambient))),
    signals: taken.flatMap(({ points }) => points.map(({ signal }) => signal)),
    covariance: rows.map((row) => rows.map((column) => evidence.covariance[row]![column]!)),
    ordinary: taken.flatMap(({ points, ordinary }) => points.map(({ reference }) => ordinary(reference))),
    floors: taken.flatMap(({ points, floor }) => points.map(() => floor)),
    scatter: taken.length === 1 ? scatterOf(taken[0]!) : null,
    still: taken.length === 1 ? stillOf(taken[0]!) : null,
  };
};
