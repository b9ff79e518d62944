import type { Item } from "../job/item.ts";
import { plannedPoints } from "../job/planned-points.ts";
import type { Pass } from "../job/procedure.ts";
import type { LogView } from "../log/log-view.ts";
import type { ClosingCheck, MeasuredPoint, PassResult } from "../result/result.ts";
import { differenceBetween } from "./between-points.ts";
import { differenceInWords, inWords } from "./budget-line.ts";

type Difference = ClosingCheck["differences"][number] & { readonly tag: string };

const measuredAt = (pass: PassResult | undefined, point: number): MeasuredPoint | undefined =>
  pass?.points.find((each): each is MeasuredPoint => each.point === point && each.status === "measured");

/** Last error minus first at the temperature with which the pass began, with what does not cancel between the two. */
const differenceOf = (item: Item, pass: PassResult | undefined, last: number): Difference[] => {
  const [from, to] = [measuredAt(pass, 0), measuredAt(pass, last)];
  if (from === undefined || to === undefined) return [];
  const between = differenceBetween(from, to);
  if (!between.ok) return [];
  const origin = [...new Set([...from.error.origin, ...to.error.origin])].sort((a, b) => a - b);
  const { difference, u, U } = between.value;
  return [{ item: item.id, tag: item.tag, difference: { value: difference, unit: "K", origin }, u, U }];
};

const whose = (differences: readonly Difference[], limit: number): string => {
  const beyond = differences.filter(({ difference }) => Math.abs(difference.value) > limit);
  const sameWay = new Set(beyond.map(({ difference }) => Math.sign(difference.value))).size === 1;
  if (differences.length > 1 && beyond.length === differences.length && sameWay)
    return "All items moved the same way, so the reference is the likelier cause.";
  return differences.length > 1
    ? "Not all items moved, so those that did are the likelier cause."
    : "The item and the reference cannot be told apart by this check; an ice point would.";
};

/** A pass with its check at the first point; one that failed leaves the pass's points without a statement of conformity. */
export const withCheck = (pass: PassResult, check: ClosingCheck | undefined): PassResult => {
  if (check === undefined) return pass;
  if (check.status !== "failed") return { ...pass, check };
  const points = pass.points.map((point) =>
    point.status === "measured" ? { ...point, conformity: null, conformityNote: check.statement } : point,
  );
  const measured = points.some(({ status }) => status === "measured");
  return { ...pass, points, decision: measured ? "undecided" : null, check };
};

/**
 * The check at the first point for one pass: each item's error there at the end less that at the beginning. Undefined where
 * the procedure plans another check or none.
 */
export const firstPointCheck = (
  view: LogView,
  pass: Pass,
  results: readonly { readonly item: Item; readonly pass: PassResult | undefined }[],
): ClosingCheck | undefined => {
  const { job } = view.opened;
  const plan = job.procedure.closingCheck;
  if (plan?.kind !== "first-point") return undefined;
  const { id, serial } = view.jobAt(view.last.n).kit.reference;
  const last = plannedPoints(job.procedure).length - 1;
  const differences = results.flatMap(({ item, pass: result }) => differenceOf(item, result, last));
  const base = { kind: plan.kind, reference: { id, serial }, temperature: null, standard: null, limit: plan.limit };
  if (differences.length < results.length) {
    const statement = `The first point was to be repeated at the end (${pass.replace("-", " ")}), but it was not measured both times.`;
    return { ...base, status: "not-done", differences: [], statement, origin: [view.last.n] };
  }
  const failed = differences.some(({ difference }) => Math.abs(difference.value) > plan.limit);
  const each = differences
    .map(({ tag, difference, U }) => `${tag} ${differenceInWords(difference.value, U)}`)
    .join(", ");
  const found = `Repeated at the end of the pass (${pass.replace("-", " ")}), the first point differed by: ${each}`;
  const statement = failed
    ? `${found}; the limit is ${inWords(plan.limit)} K, so the points between are suspect. ${whose(differences, plan.limit)} Repeat the first point; if it stays so, check the reference and repeat the pass.`
    : `${found}; within the limit of ${inWords(plan.limit)} K.`;
  return {
    ...base,
    status: failed ? "failed" : "holds",
    differences: differences.map(({ tag: _tag, ...rest }) => rest),
    statement,
    origin: [...new Set(differences.flatMap(({ difference }) => difference.origin))].sort((a, b) => a - b),
  };
};
