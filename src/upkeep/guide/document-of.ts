import type { Outcome } from "#fault";
import { failure, success } from "#fault";
import { upkeepDocumentSchema, type UpkeepDocument } from "../document/document.ts";
import type { UpkeepPlan } from "./plan.ts";

/** Readings of one stay with what its step says of it. */
export interface TakenVisit {
  readonly visit: Readonly<Record<string, unknown>>;
  readonly readings: Readonly<Record<string, readonly number[]>>;
}

/** The document of a procedure that was carried out: the plan's own words with everything that was read. */
export const documentOf = (
  plan: UpkeepPlan,
  {
    at,
    rehearsal,
    visits,
  }: { readonly at: string; readonly rehearsal: boolean; readonly visits: readonly TakenVisit[] },
): Outcome<UpkeepDocument> => {
  const { procedure: _procedure, ...said } = plan;
  const taken = visits.map(({ visit, readings }) => ({ ...visit, readings }));
  const read = plan.kind === "reference-check" ? { readings: visits[0]?.readings } : { visits: taken };
  const parsed = upkeepDocumentSchema.safeParse({ ...said, at, rehearsal, ...read });
  if (parsed.success) return success(parsed.data);
  const [issue] = parsed.error.issues;
  return failure(
    "internal",
    `The document of the test is not whole: ${issue?.path.join(".") ?? ""} ${issue?.message ?? ""}.`,
  );
};
