import { failure, success, type FaultValue, type Outcome } from "#fault";
import { measuredUnit, reported, roundedTo } from "#quantity";
import type { Item } from "../job/item.ts";
import { figureAt } from "../job/table.ts";
import type { RunEventOf } from "../log/events.ts";
import type { LogView, PointHistory } from "../log/log-view.ts";
import type { MeasuredPoint, PointResult } from "../result/result.ts";
import { gatherPoint, nominalOf } from "./gather-point.ts";
import type { PointPlace } from "./point-place.ts";
import { globalRiskAt } from "./global-risk-at.ts";
import { kitOutOfCalibration, referenceInRange, tablesThatEnd } from "./kit-validity.ts";
import { pointBudget } from "./point-budget.ts";
import { pointConformity } from "./point-conformity.ts";
import type { PointData } from "./point-data.ts";
import { looksReversed } from "./reversed-signal.ts";
import { movementInWindow } from "./source-lines.ts";

/** Where a point's evaluation says what does not belong to one number. */
export interface Remarks {
  warn(words: string): void;
  outOfCalibration(fault: FaultValue): void;
}

const concerns = (fault: RunEventOf<"fault-seen">, item: Item, reference: string): boolean => {
  if (fault.item !== undefined) return fault.item === item.id;
  if (fault.channel === undefined) return true;
  const junction = item.coldJunction?.kind === "channel" ? item.coldJunction.channel : undefined;
  return fault.channel === item.channel || fault.channel === reference || fault.channel === junction;
};

/** A fault of the signal that was seen while the window was measured, or at the point since then. */
const signalFault = (
  view: LogView,
  history: PointHistory,
  { item }: PointPlace,
  window: RunEventOf<"point-measured">,
): RunEventOf<"fault-seen"> | undefined => {
  const reference = view.opened.job.kit.reference.channel;
  const during = view.faults.filter(
    (fault) => fault.point === undefined && fault.at >= window.from && fault.at <= window.at,
  );
  return [...history.faults.filter((fault) => fault.at >= window.from), ...during].find(
    (fault) => (fault.code.startsWith("signal.") || fault.code.startsWith("loop.")) && concerns(fault, item, reference),
  );
};

const plausible = (data: PointData): Outcome<null> => {
  const { item, signal, pairs, reference, indication, job, nominal } = data;
  if (looksReversed(item.sensor, signal, pairs.junction, reference, indication - reference)) {
    return failure(
      "signal.reversed",
      `The signal of ${item.tag} fits the reference only with its sign turned: its wires are exchanged. Connect it rightly and repeat the point.`,
      { signal },
    );
  }
  return referenceInRange(job.kit.reference, nominal, reference);
};

const measuredPoint = (
  data: PointData,
  { item: { id }, pass, point }: PointPlace,
  adjusted: boolean,
  remarks: Remarks,
): Outcome<MeasuredPoint> => {
  const { job, item, nominal, pairs, series, measured, settled } = data;
  const budget = pointBudget(data);
  if (!budget.ok) return budget;
  const error = data.indication - data.reference;
  const texts = [data.reference, data.indication, error].map((value) => reported(value, budget.value.U));
  const [referenceText, indicationText, errorText] = texts;
  if (!referenceText!.ok) return referenceText!;
  if (!indicationText!.ok) return indicationText!;
  if (!errorText!.ok) return errorText!;
  const expired = kitOutOfCalibration(job.kit, data.day);
  for (const fault of expired) remarks.outOfCalibration(fault);
  const suspect = data.check?.status === "failed" ? [data.check.statement] : [];
  const doubts = [...expired.map(({ message }) => message), ...suspect];
  const statement =
    doubts.length === 0
      ? pointConformity(item, job.procedure.decision, nominal, error, budget.value)
      : { conformity: null, conformityNote: doubts.join(" ") };
  for (const words of tablesThatEnd(job.kit, data.reference)) remarks.warn(words);
  const stability = figureAt(job.kit.source.stability, data.reference);
  if (movementInWindow(data) > stability) {
    remarks.warn(
      `At ${nominal} °C the source moved by more than its stability of ±${stability} K within the window; the movement seen is in the budget.`,
    );
  }
  if (settled === undefined) {
    remarks.warn(
      `At ${nominal} °C the log holds no evidence that ${item.tag} had settled; the drift over the window stands in the budget instead.`,
    );
  }
  const place = { item: id, nominal, day: data.day, adjusted: adjusted && pass === "as-left" };
  const risk = globalRiskAt(job.history, place, statement.conformity, budget.value);
  const ofItem = [...new Set([...pairs.itemOrigin, ...pairs.junctionOrigin])].sort((a, b) => a - b);
  const ofBoth = [
    ...new Set([measured.n, ...ofItem, ...pairs.referenceOrigin, ...(settled === undefined ? [] : [settled.n])]),
  ].sort((a, b) => a - b);
  return success({
    status: "measured",
    point,
    nominal,
    reference: { value: data.reference, unit: "°C", origin: pairs.referenceOrigin },
    indication: { value: data.indication, unit: "°C", origin: ofItem },
    signal: { value: data.signal, unit: measuredUnit(item.unit), origin: pairs.itemOrigin },
    referenceSignal: { value: data.referenceSignal, unit: job.kit.reference.unit, origin: pairs.referenceOrigin },
    error: { value: error, unit: "K", origin: ofBoth },
    budget: budget.value,
    ...statement,
    ...(risk === undefined ? {} : { globalRisk: risk }),
    reported: {
      reference: referenceText!.value.value,
      indication: indicationText!.value.value,
      error: errorText!.value.value,
      U: errorText!.value.U,
      k: roundedTo(budget.value.k, 2),
    },
    readings: series.readings,
    effectiveReadings: series.effectiveReadings,
    window: { from: measured.from, to: measured.to },
  });
};

/** A kit entry of the window that was replaced later, with the word that what it had measured is not to be trusted. */
const distrusted = (view: LogView, window: RunEventOf<"point-measured">): RunEventOf<"kit-replaced"> | undefined => {
  const { kit } = view.jobAt(window.n);
  return view.replacements.find((event) => {
    if (event.earlier !== "flag" || event.n < window.n) return false;
    const before = view.jobAt(event.n - 1).kit;
    return (["reference", "readout", "source"] as const).some(
      (role) => event[role] !== undefined && before[role] === kit[role],
    );
  });
};

/** The result of one item at one point that was measured; what cannot be evaluated is flagged, with its reason and code. */
export const measurePoint = (
  view: LogView,
  place: PointPlace,
  history: PointHistory,
  remarks: Remarks,
): PointResult => {
  const measured = history.measured!;
  const nominal = nominalOf(view, place.pass, place.point);
  const flagged = (
    fault: { readonly code: string; readonly message: string },
    origin: readonly number[],
  ): PointResult => ({
    status: "flagged",
    point: place.point,
    nominal,
    code: fault.code,
    reason: fault.message,
    origin,
  });
  const seen = signalFault(view, history, place, measured);
  if (seen !== undefined) return flagged(seen, [seen.n]);
  const replaced = distrusted(view, measured);
  if (replaced !== undefined) {
    const message = `Measured with a kit entry that was replaced later because of: ${replaced.reason} (${replaced.by}). Repeat the point.`;
    return flagged({ code: "kit.suspect", message }, [replaced.n]);
  }
  const data = gatherPoint(view, place, history);
  if (!data.ok) return flagged(data.fault, [measured.n]);
  const origin = [measured.n, ...data.value.pairs.itemOrigin];
  const sound = plausible(data.value);
  if (!sound.ok) return flagged(sound.fault, origin);
  const adjusted = view.adjustments.some(({ item }) => item === place.item.id);
  const result = measuredPoint(data.value, place, adjusted, remarks);
  return result.ok ? result.value : flagged(result.fault, origin);
};
