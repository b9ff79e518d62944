import { globalRisk, priorFrom } from "#uncertainty";
import type { History } from "../job/history.ts";
import type { Conformity, GlobalRiskStatement, NoGlobalRisk, ResultBudget } from "../result/result.ts";
import { inWords } from "./budget-line.ts";
import { calendarDay, type CalendarDay } from "./calendar-day.ts";

/** An earlier error counts at a point when it was found no farther away, K (*ours*: set points are seldom met exactly). */
const sameTemperature = 1;

export interface RiskPlace {
  readonly item: string;
  readonly nominal: number;
  /** Day of the measurement: the history ends before it. */
  readonly day: CalendarDay;
  /** Measured as left, after an adjustment: what items were like before it is no prior any more. */
  readonly adjusted: boolean;
}

type PriorAt = { readonly prior: GlobalRiskStatement["prior"] } | { readonly reason: string };

/** The prior that one history gives at a point, or why it gives none. */
const priorAt = (history: History, { nominal, day }: RiskPlace): PriorAt => {
  const errors = history.errors.filter(
    ({ date, temperature }) =>
      calendarDay(date) < day && (temperature === undefined || Math.abs(temperature - nominal) <= sameTemperature),
  );
  const whose = history.of === "item" ? "the item itself" : "its class";
  const fitted = priorFrom(
    errors.map(({ error }) => error),
    errors.map(({ u }) => u),
  );
  if (!fitted.ok) return { reason: `At ${inWords(nominal)} °C, from the history of ${whose}: ${fitted.fault.message}` };
  const dates = errors.map(({ date }) => date).sort();
  return { prior: { of: history.of, ...fitted.value, from: dates[0]!, to: dates[dates.length - 1]! } };
};

/**
 * The global risks of a point's rule (rule C41). The item's own history comes first; that of its class takes its place where
 * the own one is too short or scatters no more than its measurements. Undefined where the job gives no history of the item.
 */
export const globalRiskAt = (
  histories: readonly History[] | undefined,
  place: RiskPlace,
  conformity: Conformity | null,
  budget: ResultBudget,
): GlobalRiskStatement | NoGlobalRisk | undefined => {
  const own = (histories ?? []).filter(({ item }) => item === place.item);
  if (own.length === 0) return undefined;
  if (place.adjusted)
    return {
      status: "not-stated",
      reason: "The item was adjusted, so the errors found before say nothing of what it is like now.",
    };
  const reasons: string[] = [];
  for (const whose of ["item", "class"] as const) {
    const history = own.filter(({ of }) => of === whose);
    if (history.length === 0) continue;
    const errors = history.flatMap((each) => each.errors);
    const at = priorAt({ item: place.item, of: whose, errors }, place);
    if ("reason" in at) {
      reasons.push(at.reason);
      continue;
    }
    if (conformity === null || conformity.acceptance === null)
      return { status: "not-stated", reason: "The rule accepts nothing here, so it has no risks of its own." };
    const { tolerance, acceptance } = conformity;
    const risks = globalRisk(tolerance, acceptance, budget.u, at.prior);
    return risks.ok
      ? { status: "stated", ...risks.value, prior: at.prior, origin: [0] }
      : { status: "not-stated", reason: risks.fault.message };
  }
  return { status: "not-stated", reason: reasons.join(" ") };
};
