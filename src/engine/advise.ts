import {
  evaluate,
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
    return [coefficients(own, item, procedure) ?? zeroAndSpan(own, item, procedure.adjustment)];
  });
};

/** The checks that evaluation makes of the log so far: the made one, and that of the last pass at its first point. */
export const checksOf = (log: readonly RunEvent[]): readonly ClosingCheck[] => {
  const { closingCheck, items } = evaluate(log);
  const ofPass = items[0]?.passes.at(-1)?.check;
  return [closingCheck, ofPass].filter((check) => check !== undefined);
};
