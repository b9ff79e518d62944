import {
  evaluate,
  expectedChanges,
  isSwitch,
  proposeAdjustment,
  proposeCoefficients,
  type ClosingCheck,
  type Item,
  type ItemResult,
  type Job,
  type RunEvent,
  type RunOpened,
} from "#calibration";
import type { Advice } from "./advice.ts";

const zeroAndSpan = (own: ItemResult, item: Item, adjustment: Job["procedure"]["adjustment"]): Advice => {
  const { decision, reason, correction } = proposeAdjustment(own, item, adjustment);
  return {
    item: item.id,
    adjust: decision === "adjust" && correction !== null,
    zero: correction?.zero ?? 0,
    span: correction?.span ?? 0,
    forecast: correction?.forecast ?? [],
    reason: `${item.tag}: ${reason}`,
  };
};

/**
 * A switch is set by its own screw: by as much as its trip is off, if that is more than the agreed fraction of its tolerance
 * and more than its own uncertainty (rule E60). There is no forecast: what a screw does is proved as left.
 */
const ofSwitch = (own: ItemResult, item: Item, adjustment: Job["procedure"]["adjustment"]): Advice | null => {
  const found = own.passes.find(({ pass }) => pass === "as-found")?.switch;
  if (!isSwitch(item) || found === undefined) return null;
  const trip = [found.rising, found.falling].find(({ role }) => role === "trip")!;
  const stay = (reason: string): Advice => ({
    item: item.id,
    adjust: false,
    zero: 0,
    span: 0,
    forecast: [],
    reason: `${item.tag}: ${reason}`,
  });
  if (adjustment?.kind !== "zero-and-span") return stay("no adjustment is planned.");
  if (trip.status !== "measured" || trip.deviation === null)
    return stay("its trip was not measured, so there is nothing to set it by.");
  const { value } = trip.deviation;
  const { within } = expectedChanges(item)[trip.direction];
  if (Math.abs(value) <= adjustment.adjustAbove * within)
    return stay(
      `its trip is off by ${value.toFixed(2)} K, which is within the agreed ${adjustment.adjustAbove} of its tolerance.`,
    );
  if (Math.abs(value) <= trip.budget.U)
    return stay(
      `its trip is off by ${value.toFixed(2)} K, which is within its own uncertainty of ${trip.reported.U} K: leave it alone.`,
    );
  return {
    ...stay(`its trip is off by ${value.toFixed(2)} K. Set it by ${(-value).toFixed(2)} K; ramps as left prove it.`),
    adjust: true,
    zero: -value,
  };
};

const coefficients = (own: ItemResult, item: Item, { adjustment, coverage }: Job["procedure"]): Advice | null => {
  if (adjustment?.kind !== "new-coefficients") return null;
  const { decision, reason, correction } = proposeCoefficients(own, item, adjustment, coverage);
  const adjust = decision === "adjust" && correction !== null;
  const values = correction?.values.map(({ name, value, unit }) => ({ name, value, unit })) ?? [];
  const list = values.map(({ name, value, unit }) => `${name} = ${value} ${unit}`.trim()).join(", ");
  return {
    item: item.id,
    adjust,
    zero: 0,
    span: 0,
    ...(correction === null ? {} : { coefficients: { sensor: correction.sensor, values, inItem: correction.inItem } }),
    forecast: correction?.forecast ?? [],
    reason: adjust ? `${item.tag}: ${reason} New coefficients: ${list}.` : `${item.tag}: ${reason}`,
  };
};

/** What the log so far advises for each item: the same evaluation as on the certificate, never a second one. */
export const adviceFrom = (log: readonly RunEvent[]): readonly Advice[] => {
  const { job } = log[0] as RunOpened;
  const { procedure } = job;
  const result = evaluate(log);
  return job.items.flatMap((item) => {
    const own = result.items.find((candidate) => candidate.item === item.id);
    if (own === undefined) return [];
    const switched = ofSwitch(own, item, procedure.adjustment);
    if (switched !== null) return [switched];
    return [coefficients(own, item, procedure) ?? zeroAndSpan(own, item, procedure.adjustment)];
  });
};

/** The checks that evaluation makes of the log so far: the made one, and that of the last pass at its first point. */
export const checksOf = (log: readonly RunEvent[]): readonly ClosingCheck[] => {
  const { closingCheck, items } = evaluate(log);
  const ofPass = items[0]?.passes.at(-1)?.check;
  return [closingCheck, ofPass].filter((check) => check !== undefined);
};
