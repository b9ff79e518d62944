import { success, type Outcome } from "#fault";
import { measuredUnit } from "#quantity";
import { combine, type Correlation } from "#uncertainty";
import type { ResultBudget } from "../result/result.ts";
import type { PointLine } from "./budget-line.ts";
import { itemLines } from "./item-lines.ts";
import type { PointData } from "./point-data.ts";
import { readoutAccuracy } from "./readout-accuracy.ts";
import { referenceLines } from "./reference-lines.ts";
import { sharedOf } from "./shared-input.ts";
import { settlingLine, sourceLines } from "./source-lines.ts";

/**
 * One readout on both channels, by the same row of its accuracy table: how much of the row is a gain error common to both
 * is not known. Where a common error would add up in the difference, it is taken as wholly common (r = 1); where it
 * would cancel, no cancelling is claimed (r = 0). Either way u is the larger of the two (rule C22).
 */
export const readoutCorrelation = (
  { job, item, signal, referenceSignal }: PointData,
  lines: readonly Pick<PointLine, "id" | "sensitivity">[],
): Correlation[] => {
  const [onItem, onReference] = ["item.readout", "reference.readout"].map((id) => lines.find((line) => line.id === id));
  if (onItem === undefined || onReference === undefined) return [];
  const { reference, readout } = job.kit;
  const [itemRow, referenceRow] = [
    readoutAccuracy(readout, measuredUnit(item.unit), signal),
    readoutAccuracy(readout, reference.unit, referenceSignal),
  ];
  const sameRow = itemRow.ok && referenceRow.ok && itemRow.value.row === referenceRow.value.row;
  return sameRow && onItem.sensitivity * onReference.sensitivity > 0 ? [{ a: onItem.id, b: onReference.id, r: 1 }] : [];
};

const orNull = (dof: number): number | null => (Number.isFinite(dof) ? dof : null);

/** The budget of one error: its lines gathered, combined and expanded at the procedure's coverage. */
export const pointBudget = (data: PointData): Outcome<ResultBudget> => {
  const reference = referenceLines(data);
  if (!reference.ok) return reference;
  const item = itemLines(data);
  if (!item.ok) return item;
  const lines = [...reference.value, ...sourceLines(data), settlingLine(data), ...item.value];
  const correlations = readoutCorrelation(data, lines);
  const combined = combine({
    lines: lines.map(({ id, u, dof, sensitivity, distribution }) => ({ name: id, u, dof, sensitivity, distribution })),
    correlations,
    level: data.job.procedure.coverage,
  });
  if (!combined.ok) return combined;
  const { u, dof, k, U, level } = combined.value;
  return success({
    lines: lines.map(({ dof: own, ...line }, index) => ({
      ...line,
      degreesOfFreedom: orNull(own),
      contribution: combined.value.lines[index]!.contribution,
      share: combined.value.lines[index]!.share,
      // Wholly common within the point: then it is one quantity towards other points too.
      ...sharedOf(data, correlations.some(({ a }) => a === line.id) ? correlations[0]!.b : line.id),
    })),
    u,
    degreesOfFreedom: orNull(dof),
    k,
    U,
    coverage: level,
  });
};
