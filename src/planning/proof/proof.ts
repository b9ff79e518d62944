import type { DecisionRule, Item, MeasuredPoint } from "#calibration";
import type { FaultValue } from "#fault";
import type { Improvement } from "./limiting-entry.ts";

/** What is known of a point before it is measured; no `measured` where it cannot be evaluated, and why. */
export interface ProofPoint {
  readonly temperature: number;
  readonly measured: MeasuredPoint | null;
  readonly note: string | null;
}

/**
 * Whether a point can prove anything: its rule leaves errors to be accepted, and U is below the tolerance, without which
 * even an item in the middle could as well be outside (rule P5).
 */
export const provesAnything = ({ conformity, budget }: MeasuredPoint): boolean => {
  if (conformity === null || conformity.acceptance === null) return false;
  return 2 * budget.U < conformity.tolerance.upper - conformity.tolerance.lower;
};

const kelvin = (value: number): string => `${Number(value.toPrecision(2))} K`;

const roomWords = (rule: DecisionRule, { conformity, budget }: MeasuredPoint): string => {
  const U = `U = ${kelvin(budget.U)}`;
  if (conformity === null) return "there is no tolerance";
  const half = (conformity.tolerance.upper - conformity.tolerance.lower) / 2;
  if (2 * budget.U >= 2 * half) return `${U} is no smaller than the tolerance of ±${kelvin(half)}`;
  if (rule.kind === "specific-risk")
    return `${U} leaves a risk above ${Number((100 * rule.limit).toPrecision(3))} % even in the middle of ±${kelvin(half)}`;
  return `the guard band on both sides, made of ${U}, leaves nothing of ±${kelvin(half)}`;
};

/** Half of a tolerance that the rule needs before it leaves anything, K. */
const neededHalf = (rule: DecisionRule, { U, u }: MeasuredPoint["budget"]): number =>
  rule.kind === "guard-band" ? Math.max(1, rule.factor) * U : rule.kind === "specific-risk" ? Math.max(U, 2.4 * u) : U;

/**
 * Whether a job can prove anything about an item: a `job.cannot-prove` fault with the reason and the remedies where at
 * none of its points an error could be accepted, nothing where it can (rule P5). `remedies` belong to the best point.
 */
export const refusalOf = (
  item: Item,
  rule: DecisionRule,
  points: readonly ProofPoint[],
  remedies: (measured: MeasuredPoint) => readonly Improvement[],
): FaultValue | null => {
  // What is not measured point by point (a switch) is judged in another way.
  if (points.length === 0) return null;
  const evaluated = points.flatMap(({ measured }) => (measured === null ? [] : [measured]));
  if (evaluated.length === 0) {
    const [note] = points.flatMap((point) => (point.note === null ? [] : [point.note]));
    return {
      code: "job.cannot-prove",
      message: `${item.tag} could not be evaluated at any point. ${note ?? "Give it points within the range of item and kit."}`,
      data: { item: item.id },
    };
  }
  if (evaluated.some(provesAnything)) return null;
  const toleranced = evaluated.filter(({ conformity }) => conformity !== null);
  const [firstNote] = evaluated.flatMap(({ conformityNote }) => (conformityNote === null ? [] : [conformityNote]));
  if (toleranced.length === 0) {
    return {
      code: "job.cannot-prove",
      message: `${item.tag} has no tolerance at any of its points, so nothing could be said of it. ${firstNote ?? ""} Choose points within its class, or agree on a tolerance.`,
      data: { item: item.id },
    };
  }
  const ratio = ({ conformity, budget }: MeasuredPoint): number =>
    (conformity!.tolerance.upper - conformity!.tolerance.lower) / 2 / budget.U;
  const best = toleranced.reduce((one, other) => (ratio(one) >= ratio(other) ? one : other));
  const changes = remedies(best);
  const { tolerance } = best.conformity!;
  const enough = changes.filter(
    ({ improved }) =>
      improved < ((tolerance.upper - tolerance.lower) / 2) * (best.budget.U / neededHalf(rule, best.budget)),
  );
  const listed = (enough.length > 0 ? enough : changes)
    .slice(0, 2)
    .map(({ words, improved }) => `${words} (U ${kelvin(improved)})`);
  const kit =
    listed.length === 0
      ? ""
      : enough.length > 0
        ? ` It could with ${listed.join(", or ")}.`
        : ` No single change to the kit is enough; the most would bring ${listed[0]!}.`;
  return {
    code: "job.cannot-prove",
    message:
      `${item.tag} could not pass at any point, however good it is: at ${best.nominal} °C ${roomWords(rule, best)}.${kit} ` +
      `Otherwise agree on a tolerance above ±${kelvin(neededHalf(rule, best.budget))}${rule.kind === "simple" ? "" : " or on another decision rule"}.`,
    data: {
      item: item.id,
      temperature: best.nominal,
      U: best.budget.U,
      neededTolerance: neededHalf(rule, best.budget),
      remedies: changes.slice(0, 3).map(({ words, improved, entry, id }) => ({ words, U: improved, entry, id })),
    },
  };
};
