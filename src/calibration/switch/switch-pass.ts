import { reported, roundedTo } from "#quantity";
import { dayAfter } from "../evaluate/calendar-day.ts";
import { kitOutOfCalibration, referenceInRange, tablesThatEnd } from "../evaluate/kit-validity.ts";
import type { Remarks } from "../evaluate/measure-point.ts";
import { conformityWithin, type PointConformity } from "../evaluate/point-conformity.ts";
import type { Pass } from "../job/procedure.ts";
import { expectedChanges, type ExpectedChange, type SwitchItem } from "../job/switch-sweeps.ts";
import type { LogView } from "../log/log-view.ts";
import type { Decision, Figure, PassResult, ResultBudget } from "../result/result.ts";
import type {
  MeasuredChange,
  MeasuredDeadBand,
  SwitchResult,
  UnmeasuredChange,
  UnmeasuredDeadBand,
} from "../result/switch-result.ts";
import { changesAtRest, type ChangeAtRest, type ChangesAtRest } from "./at-rest.ts";
import { changeBudget, deadBandBudget, reachOf, type ChangeContext } from "./change-budget.ts";
import { sweepResult, type SweepOutcome } from "./sweep-result.ts";

const originOf = (changes: readonly { readonly origin: readonly number[] }[]): number[] =>
  [...new Set(changes.flatMap(({ origin }) => origin))].sort((a, b) => a - b);

const placeOf = ({ role, direction, closed, nominal }: ExpectedChange) => ({
  role,
  direction,
  contact: closed ? ("closes" as const) : ("opens" as const),
  nominal,
});

/** No statement is made with a kit that was out of calibration on the day (rule C28). */
const statement = (
  limits: ExpectedChange["limits"],
  note: string | null,
  value: number,
  budget: ResultBudget,
  { job }: ChangeContext,
  expired: string,
): PointConformity => {
  if (expired !== "") return { conformity: null, conformityNote: expired };
  if (limits === null) return { conformity: null, conformityNote: note };
  return conformityWithin(limits, job.procedure.decision, value, budget);
};

/** What the sweeps of one direction say where none of them gave a temperature. */
const unmeasured = (
  context: ChangeContext,
  expected: ExpectedChange,
  outcomes: readonly SweepOutcome[],
): UnmeasuredChange => {
  const place = placeOf(expected);
  const without = outcomes.find(({ result }) => result.status === "no-change");
  if (without !== undefined) {
    const { reached } = without;
    const { nominal, limits } = expected;
    const sign = expected.direction === "rising" ? 1 : -1;
    const rate = context.job.procedure.ramp!.rate / 60;
    const beyond =
      reached !== null &&
      nominal !== null &&
      limits !== null &&
      sign * (reached - nominal) > (sign > 0 ? limits.upper : -limits.lower) + reachOf(context, reached, rate);
    const words = beyond ? " That is beyond its limit, its uncertainty included." : "";
    return {
      ...place,
      status: "no-change",
      reason: `${without.result.reason!}${words}`,
      decision: beyond ? "fail" : null,
      origin: without.result.origin,
    };
  }
  const flagged = outcomes.find(({ result }) => result.status === "flagged");
  const [first] = outcomes;
  const told = flagged ?? first;
  return {
    ...place,
    status: flagged === undefined ? "not-measured" : "flagged",
    ...(flagged?.code === undefined ? {} : { code: flagged.code }),
    reason: told?.result.reason ?? "There was no ramp in this direction.",
    decision: null,
    origin: told?.result.origin ?? [0],
  };
};

const changeResult = (
  context: ChangeContext,
  expected: ExpectedChange,
  at: ChangeAtRest | undefined,
  outcomes: readonly SweepOutcome[],
  expired: string,
): MeasuredChange | UnmeasuredChange => {
  // A switch that acts on one ramp and not on another has no mean that stands for it.
  if (at === undefined || outcomes.some(({ result }) => result.status === "no-change"))
    return unmeasured(context, expected, outcomes);
  const place = placeOf(expected);
  const origin = originOf(at.changes);
  const flagged = (fault: { readonly code: string; readonly message: string }): UnmeasuredChange => ({
    ...place,
    status: "flagged",
    code: fault.code,
    reason: fault.message,
    decision: null,
    origin,
  });
  const inRange = referenceInRange(context.job.kit.reference, at.temperature, at.temperature);
  if (!inRange.ok) return flagged(inRange.fault);
  const budget = changeBudget(context, at);
  if (!budget.ok) return flagged(budget.fault);
  const deviation = expected.nominal === null ? null : at.temperature - expected.nominal;
  const text = reported(at.temperature, budget.value.U);
  if (!text.ok) return flagged(text.fault);
  const { conformity, conformityNote } = statement(
    expected.limits,
    expected.note,
    deviation ?? 0,
    budget.value,
    context,
    expired,
  );
  return {
    ...place,
    status: "measured",
    temperature: { value: at.temperature, unit: "°C", origin },
    deviation: deviation === null ? null : { value: deviation, unit: "K", origin },
    budget: budget.value,
    conformity,
    conformityNote,
    reported: {
      temperature: text.value.value,
      deviation: deviation === null ? null : roundedTo(deviation, text.value.places),
      U: text.value.U,
      k: roundedTo(budget.value.k, 2),
    },
    cycles: at.changes.length,
  };
};

const deadBandResult = (
  context: ChangeContext,
  at: ChangesAtRest,
  sides: readonly [MeasuredChange | UnmeasuredChange, MeasuredChange | UnmeasuredChange],
  expired: string,
): MeasuredDeadBand | UnmeasuredDeadBand => {
  const missing = sides.find(({ status }) => status !== "measured");
  if (missing !== undefined) {
    const words = `It needs the changes of both directions; the one ${missing.direction} is missing.`;
    return { status: "not-measured", reason: words };
  }
  const budget = deadBandBudget(context, at);
  if (!budget.ok) return { status: "not-measured", reason: budget.fault.message };
  const difference = at.rising!.temperature - at.falling!.temperature;
  const value: Figure = {
    value: difference,
    unit: "K",
    origin: originOf([...at.rising!.changes, ...at.falling!.changes]),
  };
  const text = reported(difference, budget.value.U);
  if (!text.ok) return { status: "not-measured", reason: text.fault.message };
  const limits = context.item.sensor.deadBand;
  return {
    status: "measured",
    value,
    budget: budget.value,
    ...statement(
      limits === undefined ? null : { lower: limits.minimum, upper: limits.maximum },
      "No limits are agreed for the dead band.",
      difference,
      budget.value,
      context,
      expired,
    ),
    reported: { value: text.value.value, U: text.value.U, k: roundedTo(budget.value.k, 2) },
  };
};

const severity: readonly Decision[] = ["fail", "conditional-fail", "undecided", "conditional-pass", "pass"];

/** The worst of what is agreed: trip always, reset and dead band where they have limits (rule C68). */
const worstOf = (
  { sensor }: SwitchItem,
  result: Omit<SwitchResult, "decision" | "sweeps" | "lag">,
): Decision | null => {
  const { rising, falling, deadBand } = result;
  if ([rising, falling].every((side) => side.status !== "measured" && side.decision === null)) return null;
  const sides = [rising, falling].filter(({ role }) => role === "trip" || sensor.reset !== undefined);
  const decisions = sides.map((side): Decision =>
    side.status === "measured" ? (side.conformity?.decision ?? "undecided") : (side.decision ?? "undecided"),
  );
  if (sensor.deadBand !== undefined)
    decisions.push(deadBand.status === "measured" ? (deadBand.conformity?.decision ?? "undecided") : "undecided");
  return severity.find((decision) => decisions.includes(decision)) ?? null;
};

/** What the kit's validity on the day says, as a note in place of statements; empty where it covers the day. */
const expiredWords = (context: ChangeContext, remarks: Remarks): string => {
  const expired = kitOutOfCalibration(context.job.kit, context.day);
  for (const fault of expired) remarks.outOfCalibration(fault);
  return expired.map(({ message }) => message).join(" ");
};

const remarkLag = ({ item, lag, job }: ChangeContext, remarks: Remarks): void => {
  if (lag.known !== "bounded") return;
  remarks.warn(
    `How much ${item.tag} trails the reference is not known; ±${job.procedure.ramp!.lagWithin} s stand in its budget. Give sensor.lag, or run at two rates (procedure.ramp.slowRate), and it is corrected.`,
  );
};

/** Everything that one pass brings for one switch; its points stay empty, its ramps are listed in `switch.sweeps`. */
export const switchPass = (view: LogView, item: SwitchItem, pass: Pass, remarks: Remarks): PassResult => {
  const { procedure } = view.opened.job;
  const outcomes = procedure.points.map((_, point) => sweepResult(view, item, pass, point));
  const of = (direction: "rising" | "falling"): SweepOutcome[] =>
    outcomes.filter(({ result }) => result.direction === direction);
  const seen = (direction: "rising" | "falling") =>
    of(direction).flatMap(({ change }) => (change === null ? [] : [change]));
  const at = changesAtRest({ rising: seen("rising"), falling: seen("falling") }, item, procedure.ramp!);
  const job = view.jobAt(view.last.n);
  const context: ChangeContext = { job, item, day: dayAfter(view.opened.opened, view.last.at), lag: at.lag };
  const expired = expiredWords(context, remarks);
  const expected = expectedChanges(item);
  const rising = changeResult(context, expected.rising, at.rising, of("rising"), expired);
  const falling = changeResult(context, expected.falling, at.falling, of("falling"), expired);
  const deadBand = deadBandResult(context, at, [rising, falling], expired);
  for (const side of [rising, falling]) {
    if (side.status !== "measured") continue;
    for (const words of tablesThatEnd(job.kit, side.temperature.value)) remarks.warn(words);
    if (side.cycles === of(side.direction).length) continue;
    remarks.warn(`${item.tag}, ${side.direction}: ${side.cycles} of ${of(side.direction).length} ramps gave a change.`);
  }
  if (rising.status === "measured" || falling.status === "measured") remarkLag(context, remarks);
  const found = { rising, falling, deadBand };
  const decision = worstOf(item, found);
  return {
    pass,
    points: [],
    decision,
    switch: { ...found, sweeps: outcomes.map(({ result }) => result), lag: at.lag, decision },
  };
};
