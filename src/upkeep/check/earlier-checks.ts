import type { UpkeepDocument } from "../document/document.ts";
import type { EarlierCheck, ReferenceCheck } from "../document/reference-check.ts";
import { evaluateReferenceCheck } from "./evaluate-check.ts";

/**
 * What earlier documents of a reference at the same point came to, oldest first: a check that did not rest is no point of the chart,
 * and checks on a simulated bench and real ones have charts of their own.
 */
export const earlierChecks = (
  documents: readonly UpkeepDocument[],
  { point, at: before, rehearsal }: Pick<ReferenceCheck, "point" | "at" | "rehearsal">,
): EarlierCheck[] =>
  documents
    .filter(
      (each): each is ReferenceCheck =>
        each.kind === "reference-check" && each.point === point && each.at < before && each.rehearsal === rehearsal,
    )
    .toSorted((a, b) => (a.at < b.at ? -1 : 1))
    .flatMap((document) => {
      const result = evaluateReferenceCheck(document);
      if (!result.ok || result.value.shift === null || result.value.resistance === null) return [];
      return [{ at: document.at, resistance: result.value.resistance, u: result.value.shift.u }];
    });
