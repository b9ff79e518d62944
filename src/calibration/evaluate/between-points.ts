import { success, type Outcome } from "#fault";
import { combine } from "#uncertainty";
import type { MeasuredPoint, ResultBudgetLine } from "../result/result.ts";

type Judged = Pick<MeasuredPoint, "error" | "budget">;

const signed = ({ sensitivity, u }: ResultBudgetLine): number => sensitivity * u;

/** What a point's error takes from each quantity that has a name, with its sign; K. */
const sharedParts = ({ budget }: Judged): Map<string, number> => {
  const parts = new Map<string, number>();
  for (const line of budget.lines) {
    if (line.shared !== undefined) parts.set(line.shared, (parts.get(line.shared) ?? 0) + signed(line));
  }
  return parts;
};

/**
 * Covariance between the errors of two points, K²: the sum over the quantities that both take from, c_A·u·c_B·u (GUM, F.1.2.3,
 * equation F.2). It needs the two stored points only, of the same run or of two, of the same item or of two.
 */
export const covarianceBetween = (pointA: Judged, pointB: Judged): number => {
  const other = sharedParts(pointB);
  let sum = 0;
  for (const [name, part] of sharedParts(pointA)) sum += part * (other.get(name) ?? 0);
  return sum;
};

/** A difference of two errors, K: what is common to both has cancelled, except for what its sensitivities leave. */
export interface DifferenceOfErrors {
  readonly difference: number;
  readonly u: number;
  /** Effective degrees of freedom; null stands for infinitely many. */
  readonly degreesOfFreedom: number | null;
  readonly k: number;
  readonly U: number;
  readonly coverage: number;
}

/**
 * `to` minus `from`, for example an error as left minus the error as found: u² = u_A² + u_B² − 2·cov, at the coverage of
 * `from`. Numbers that cannot be combined are a failure `uncertainty.invalid`.
 */
export const differenceBetween = (from: Judged, to: Judged): Outcome<DifferenceOfErrors> => {
  const [before, after] = [sharedParts(from), sharedParts(to)];
  const common = [...before.keys()].filter((name) => after.has(name));
  const lines = [
    ...common.map((name) => ({
      name,
      u: Math.abs(after.get(name)! - before.get(name)!),
      dof: Number.POSITIVE_INFINITY,
    })),
    ...[from, to].flatMap(({ budget }, which) =>
      budget.lines
        .filter(({ shared }) => shared === undefined || !common.includes(shared))
        .map((line) => ({
          name: `${which} ${line.id}`,
          u: Math.abs(signed(line)),
          dof: line.degreesOfFreedom ?? Number.POSITIVE_INFINITY,
        })),
    ),
  ];
  const combined = combine({ lines, level: from.budget.coverage });
  if (!combined.ok) return combined;
  const { u, dof, k, U, level } = combined.value;
  return success({
    difference: to.error.value - from.error.value,
    u,
    degreesOfFreedom: Number.isFinite(dof) ? dof : null,
    k,
    U,
    coverage: level,
  });
};
