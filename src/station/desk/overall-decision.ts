import type { Decision, Result } from "#calibration";

const severity: Readonly<Record<Decision, number>> = {
  pass: 0,
  "conditional-pass": 1,
  undecided: 2,
  "conditional-fail": 3,
  fail: 4,
};

/**
 * One word for the whole run: the worst decision of the items' last measured pass. After an adjustment the as-left pass
 * decides whether the item may stay in service; what was found before stays in the result. Null where nothing was decided.
 */
export const overallDecision = (result: Result): Decision | null => {
  const decisions = result.items.flatMap((item) => {
    const last = item.passes.findLast((pass) => pass.decision !== null);
    return last === undefined || last.decision === null ? [] : [last.decision];
  });
  return decisions.reduce<Decision | null>(
    (worst, decision) => (worst === null || severity[decision] > severity[worst] ? decision : worst),
    null,
  );
};
