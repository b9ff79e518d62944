import { failure, success, type Outcome } from "#fault";
import { leastSquares } from "#numerics";
import { coverageFactor } from "#uncertainty";
import type { Item } from "../job/item.ts";
import type { Procedure } from "../job/procedure.ts";
import type { ItemResult, MeasuredPoint } from "../result/result.ts";
import { splitUncertainty } from "./own-to-point.ts";

/** What an adjustment would do at one point; K. */
export interface AdjustedPoint {
  readonly point: number;
  readonly nominal: number;
  readonly asFound: number;
  /** Change of the indication there, and its expanded uncertainty. */
  readonly shift: number;
  readonly shiftU: number;
  /** Forecast of the error afterwards. The adjustment is a known number, so the uncertainty stays that of the error as found. */
  readonly asLeft: number;
  readonly U: number;
}

/** Changes of an item's indication that would bring its errors nearest to nothing; K. */
export interface ZeroAndSpan {
  readonly item: string;
  /** Change at the lower end of the range. */
  readonly zero: number;
  /** Change at the upper end less that at the lower. */
  readonly span: number;
  readonly zeroU: number;
  readonly spanU: number;
  readonly range: { readonly lower: number; readonly upper: number };
  readonly forecast: readonly AdjustedPoint[];
  /** `leave-alone` where no shift exceeds its own uncertainty, or where the largest error would not become smaller. */
  readonly advice: "adjust" | "leave-alone";
  readonly reason: string;
}

const rangeOf = ({ sensor, range }: Item, points: readonly MeasuredPoint[]): { lower: number; upper: number } => {
  if (sensor.kind === "loop")
    return { lower: Math.min(sensor.lower, sensor.upper), upper: Math.max(sensor.lower, sensor.upper) };
  if (range !== undefined) return range;
  const temperatures = points.map((point) => point.reference.value);
  return { lower: Math.min(...temperatures), upper: Math.max(...temperatures) };
};

type Row = readonly [one: number, position: number];

/** Standard uncertainty of row·coefficients, when the coefficients are weights·errors: own parts add as squares, common ones as they are. */
const uncertaintyOf = (
  row: Row,
  gains: readonly (readonly [number, number])[],
  points: readonly MeasuredPoint[],
): number => {
  let square = 0;
  let together = 0;
  for (const [index, gain] of gains.entries()) {
    const weight = row[0] * gain[0] + row[1] * gain[1];
    const { own, common } = splitUncertainty(points[index]!);
    square += (weight * own) ** 2;
    together += weight * common;
  }
  return Math.sqrt(square + together ** 2);
};

const adviceFor = (forecast: readonly AdjustedPoint[]): Pick<ZeroAndSpan, "advice" | "reason"> => {
  // As found and as left each have their U: a shift within both together would not be seen to have done anything.
  if (forecast.every(({ shift, shiftU, U }) => Math.abs(shift) < Math.max(shiftU, Math.SQRT2 * U))) {
    return {
      advice: "leave-alone",
      reason: "No shift is larger than its own uncertainty: an adjustment would chase noise.",
    };
  }
  const largest = (errors: readonly number[]): number => Math.max(...errors.map(Math.abs));
  const [before, after] = [
    largest(forecast.map(({ asFound }) => asFound)),
    largest(forecast.map(({ asLeft }) => asLeft)),
  ];
  if (after >= before) {
    return {
      advice: "leave-alone",
      reason: "Zero and span cannot make the largest error smaller: what is wrong is not a straight line.",
    };
  }
  return {
    advice: "adjust",
    reason: `The largest error would go from ${before.toPrecision(2)} K to ${after.toPrecision(2)} K.`,
  };
};

const adjustable = ({ sensor, tag }: Item): Outcome<null> =>
  sensor.kind === "loop" || sensor.kind === "indication"
    ? success(null)
    : failure(
        "run.not-allowed",
        `${tag} is a bare sensor and cannot be adjusted; only its electronics or its coefficients could be.`,
        { sensor: sensor.kind },
      );

/**
 * Zero and span corrections from the errors as found: minus the straight line by weighted least squares through the errors
 * over the range (each point weighted by its u), with the uncertainty that own and common parts of the budgets give it.
 * With a single temperature only the zero is corrected. No measured point, or an item that has nothing to adjust: a failure.
 */
export const zeroAndSpan = (result: ItemResult, item: Item): Outcome<ZeroAndSpan> => {
  const able = adjustable(item);
  if (!able.ok) return able;
  const points =
    result.passes.find(({ pass }) => pass === "as-found")?.points.filter((point) => point.status === "measured") ?? [];
  if (points.length === 0)
    return failure("run.not-allowed", `${item.tag} has no measured point as found: nothing to adjust by.`, {
      item: item.id,
    });
  const range = rangeOf(item, points);
  const width = range.upper - range.lower;
  const positions = points.map((point) => (width > 0 ? (point.reference.value - range.lower) / width : 0));
  const spread = Math.max(...positions) - Math.min(...positions);
  // Temperatures that lie this close together say nothing about the span.
  const line = spread > 0.05;
  const design = positions.map((position) => (line ? [1, position] : [1]));
  const fit = leastSquares({
    design,
    observations: points.map(({ error }) => error.value),
    uncertainties: points.map(({ budget }) => budget.u),
  });
  if (!fit.ok)
    return failure(
      "uncertainty.invalid",
      `No straight line can be laid through the errors of ${item.tag} (${fit.reason}).`,
      { item: item.id },
    );
  const [a, b, c] = [
    fit.unscaledCovariance[0]![0]!,
    fit.unscaledCovariance[0]![1] ?? 0,
    fit.unscaledCovariance[1]?.[1] ?? 0,
  ];
  const gains = points.map(({ budget }, index) => {
    const weight = 1 / budget.u ** 2;
    return [(a + b * positions[index]!) * weight, (b + c * positions[index]!) * weight] as const;
  });
  const [zeroError, spanError] = [fit.coefficients[0]!, fit.coefficients[1] ?? 0];
  const k = coverageFactor(points[0]!.budget.coverage, Number.POSITIVE_INFINITY);
  const forecast = points.map((point, index): AdjustedPoint => {
    const shift = -(zeroError + spanError * positions[index]!);
    return {
      point: point.point,
      nominal: point.nominal,
      asFound: point.error.value,
      shift,
      shiftU: k * uncertaintyOf([1, positions[index]!], gains, points),
      asLeft: point.error.value + shift,
      U: point.budget.U,
    };
  });
  const opposite = (value: number): number => (value === 0 ? 0 : -value);
  return success({
    item: item.id,
    zero: opposite(zeroError),
    span: opposite(spanError),
    zeroU: k * uncertaintyOf([1, 0], gains, points),
    spanU: line ? k * uncertaintyOf([0, 1], gains, points) : 0,
    range,
    forecast,
    ...adviceFor(forecast),
  });
};

export interface AdjustmentProposal {
  readonly decision: "adjust" | "leave-alone";
  readonly reason: string;
  /** Null where the item cannot be adjusted at all. */
  readonly correction: ZeroAndSpan | null;
}

/** Largest error as found, as a fraction of the tolerance on its side; 0 where no tolerance is defined. */
export const largestFraction = (result: ItemResult): number => {
  const points = result.passes.find(({ pass }) => pass === "as-found")?.points ?? [];
  return points.reduce((most, point) => {
    if (point.status !== "measured" || point.conformity === null) return most;
    const { lower, upper } = point.conformity.tolerance;
    return Math.max(most, point.error.value > 0 ? point.error.value / upper : point.error.value / lower);
  }, 0);
};

/**
 * Whether to adjust, as the procedure says: when an error as found exceeds the agreed fraction of its tolerance, and the
 * correction is worth more than its own uncertainty. Without an agreed adjustment nothing is ever adjusted.
 */
export const proposeAdjustment = (
  result: ItemResult,
  item: Item,
  adjustment: Procedure["adjustment"],
): AdjustmentProposal => {
  if (adjustment === undefined)
    return { decision: "leave-alone", reason: "The procedure agrees no adjustment.", correction: null };
  const correction = zeroAndSpan(result, item);
  if (!correction.ok) return { decision: "leave-alone", reason: correction.fault.message, correction: null };
  const fraction = largestFraction(result);
  const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;
  if (fraction <= adjustment.adjustAbove) {
    const reason = `The largest error is ${percent(fraction)} of its tolerance; the procedure adjusts above ${percent(adjustment.adjustAbove)}.`;
    return { decision: "leave-alone", reason, correction: correction.value };
  }
  return { decision: correction.value.advice, reason: correction.value.reason, correction: correction.value };
};
