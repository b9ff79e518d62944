import { failure, success, type Outcome } from "#fault";
import type { ChannelUnit, SignalUnit } from "#quantity";
import type { DecisionRule, Pass } from "../job/procedure.ts";
import type { RunEvent } from "../log/events.ts";
import { logView } from "../log/log-view.ts";
import type { MeasuredPoint } from "../result/result.ts";
import {
  conversionCorrections,
  conversionLines,
  equationOf,
  type ExplainedConversion,
  type ExplainedCorrection,
} from "./explain-conversion.ts";
import { explainedDecision, type ExplainedDecision } from "./explain-decision.ts";
import { explainedModel, type ExplainedModel } from "./explain-model.ts";
import { gatherPoint } from "./gather-point.ts";
import { measurePoint } from "./measure-point.ts";
import type { PointData } from "./point-data.ts";
import { describePoint } from "./point-model.ts";

/** One pair of readings and what became of it. */
export interface ExplainedReading {
  readonly time: number;
  readonly referenceSignal: number;
  readonly referenceTemperature: number;
  readonly itemSignal: number;
  readonly itemTemperature: number;
  readonly junction: number | null;
  readonly difference: number;
}

/** How the figures of one point came about, from raw readings to the decision; same numbers as in the result. */
export interface Explanation {
  readonly run: string;
  readonly item: string;
  readonly tag: string;
  readonly pass: Pass;
  readonly referenceUnit: SignalUnit;
  readonly itemUnit: ChannelUnit;
  readonly referenceEquation: string;
  readonly itemEquation: string;
  readonly readings: readonly ExplainedReading[];
  /** The mean signals as temperatures, with the values put in: reference, then item. */
  readonly conversions: readonly ExplainedConversion[];
  readonly corrections: readonly ExplainedCorrection[];
  readonly model: ExplainedModel;
  readonly decision: ExplainedDecision;
  readonly rule: DecisionRule;
  readonly result: MeasuredPoint;
}

export interface ExplainedPlace {
  /** The item's id or its tag. */
  readonly item: string;
  readonly pass: Pass;
  /** Index into the procedure's points. */
  readonly point: number;
}

const conversionsOf = (data: PointData): ExplainedConversion[] => {
  const { job, item, signal, referenceSignal, reference, indication, pairs } = data;
  const { sensor, unit } = job.kit.reference;
  return [
    {
      of: "reference",
      equation: equationOf(sensor),
      lines: conversionLines(sensor, referenceSignal, reference, null),
      signal: referenceSignal,
      unit,
      temperature: reference,
    },
    {
      of: "item",
      equation: equationOf(item.sensor),
      lines: conversionLines(item.sensor, signal, indication, pairs.junction ?? null),
      signal,
      unit: item.unit,
      temperature: indication,
    },
  ];
};

/** What is not known well enough to be corrected is estimated as 0, and stands in the budget with its uncertainty. */
const correctionsOf = (data: PointData, { budget }: MeasuredPoint): ExplainedCorrection[] => {
  const { job, item, signal, referenceSignal, reference, indication, pairs } = data;
  return [
    ...conversionCorrections(job.kit.reference.sensor, referenceSignal, reference, null),
    ...conversionCorrections(item.sensor, signal, indication, pairs.junction ?? null),
    {
      name: "Estimated as 0",
      applied: false,
      words: `all ${budget.lines.length} δ of the model: nothing is corrected for them, each stands in the budget with its uncertainty`,
    },
  ];
};

/** The derivation of one point's figures. What is not there, or was not measured, is a failure that says so. */
export const explain = (
  log: readonly RunEvent[],
  { item: wanted, pass, point }: ExplainedPlace,
): Outcome<Explanation> => {
  const view = logView(log);
  const { job, run } = view.opened;
  const item = job.items.find(({ id, tag }) => id === wanted || tag === wanted);
  if (item === undefined)
    return failure(
      "input.invalid",
      `The run has no item "${wanted}"; it has ${job.items.map(({ id }) => id).join(", ")}.`,
    );
  const points = view.points(pass);
  if (points.every((each) => each.point !== point))
    return failure("input.invalid", `The procedure has the points 1 to ${points.length}, not ${point + 1}.`);
  const place = { item, pass, point };
  const history = view.history(pass, point, item.id);
  const data = gatherPoint(view, place, history);
  if (!data.ok) return data;
  const result = measurePoint(view, place, history, { warn: () => undefined, outOfCalibration: () => undefined });
  if (result.status !== "measured")
    return failure("run.not-allowed", `This point is ${result.status}: ${result.reason}`, { point });
  const { pairs } = data.value;
  const [conversions, corrections] = [conversionsOf(data.value), correctionsOf(data.value, result)];
  return success({
    run,
    item: item.id,
    tag: item.tag,
    pass,
    referenceUnit: job.kit.reference.unit,
    itemUnit: item.unit,
    referenceEquation: conversions[0]!.equation,
    itemEquation: conversions[1]!.equation,
    readings: Array.from(pairs.times, (time, index) => ({
      time,
      referenceSignal: pairs.referenceSignals[index]!,
      referenceTemperature: pairs.referenceTemperatures[index]!,
      itemSignal: pairs.itemSignals[index]!,
      itemTemperature: pairs.itemTemperatures[index]!,
      junction: pairs.junctions?.[index] ?? null,
      difference: pairs.differences[index]!,
    })),
    conversions,
    corrections,
    model: explainedModel(describePoint(data.value, result.budget), result, item.unit, job.kit.reference.unit),
    decision: explainedDecision(job.procedure.decision, result),
    rule: job.procedure.decision,
    result,
  });
};
