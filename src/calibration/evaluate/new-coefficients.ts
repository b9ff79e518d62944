import { failure, success, type Outcome } from "#fault";
import { signalOf, type Sensor } from "#thermometry";
import type { Item } from "../job/item.ts";
import type { Procedure } from "../job/procedure.ts";
import type { FittedCoefficient, FittedItem, ItemResult, MeasuredPoint } from "../result/result.ts";
import { fittedItem } from "./fitted-item.ts";
import { largestFraction, type AdjustedPoint } from "./zero-and-span.ts";

type Asked = Extract<NonNullable<Procedure["adjustment"]>, { kind: "new-coefficients" }>;

/** Coefficients that would bring an item's errors nearest to nothing, and what they would do at every point. */
export interface NewCoefficients {
  readonly sensor: Sensor;
  readonly values: readonly FittedCoefficient[];
  /** They go into the electronics of the item; otherwise they belong to whoever converts the sensor's signal. */
  readonly inItem: boolean;
  readonly forecast: readonly AdjustedPoint[];
}

export interface CoefficientsProposal {
  readonly decision: "adjust" | "leave-alone";
  readonly reason: string;
  /** Null where there are none. */
  readonly correction: NewCoefficients | null;
}

/**
 * The sensor whose coefficients count, with its signals. A bare sensor gives them itself. A transmitter that holds its sensor's
 * coefficients gives a temperature worked out with them, so the signal inside is that temperature sent back through them.
 */
const inside = (item: Item, points: readonly MeasuredPoint[]): Outcome<{ item: Item; points: MeasuredPoint[] }> => {
  if (item.sensor.kind === "indication" || (item.sensor.kind === "loop" && item.sensor.inner === undefined)) {
    return failure(
      "run.not-allowed",
      `The coefficients that ${item.tag} holds are not in the job, so no better ones can be worked out. Give its sensor as "inner" of the loop, or adjust zero and span.`,
      { item: item.id },
    );
  }
  if (item.sensor.kind !== "loop") return success({ item, points: [...points] });
  const inner = item.sensor.inner!;
  const unit = inner.kind === "thermocouple" ? ("mV" as const) : ("Ω" as const);
  const through: MeasuredPoint[] = [];
  for (const point of points) {
    const signal = signalOf(inner, point.indication.value);
    if (!signal.ok) return signal;
    through.push({ ...point, signal: { ...point.signal, value: signal.value.signal, unit } });
  }
  return success({ item: { ...item, sensor: inner, unit }, points: through });
};

const forecastOf = (fit: FittedItem, points: readonly MeasuredPoint[]): AdjustedPoint[] =>
  points.map((point) => {
    const residual = fit.residuals.find((each) => each.point === point.point)!;
    const nearest = fit.table.reduce((best, row) =>
      Math.abs(row.temperature - residual.temperature) < Math.abs(best.temperature - residual.temperature) ? row : best,
    );
    return {
      point: point.point,
      nominal: point.nominal,
      asFound: point.error.value,
      shift: residual.kelvin - point.error.value,
      shiftU: nearest.U,
      asLeft: residual.kelvin,
      U: Math.hypot(point.budget.U, nearest.U),
    };
  });

const workedOut = (result: ItemResult, item: Item, asked: Asked, coverage: number): Outcome<NewCoefficients> => {
  const found = result.passes
    .find(({ pass }) => pass === "as-found")
    ?.points.filter((point) => point.status === "measured");
  const own = inside(item, found ?? []);
  if (!own.ok) return own;
  const { model, degree, subrange } = asked;
  const fit = fittedItem(own.value.item, own.value.points, { model, degree, subrange }, coverage);
  if (fit.status === "not-fitted") return failure("fit.impossible", fit.reason);
  if (fit.sensor === null)
    return failure("fit.impossible", `The model ${model} gives no coefficients that a thermometer could hold.`);
  const inItem = item.sensor.kind === "loop";
  return success({
    sensor: item.sensor.kind === "loop" ? { ...item.sensor, inner: fit.sensor } : fit.sensor,
    values: fit.coefficients,
    inItem,
    forecast: forecastOf(fit, own.value.points),
  });
};

/**
 * Whether new coefficients are worth loading: when an error as found exceeds the agreed fraction of its tolerance, some shift
 * exceeds √(U² + U_fit²), and the largest error becomes smaller (rule C54).
 */
export const proposeCoefficients = (
  result: ItemResult,
  item: Item,
  asked: Asked,
  coverage: number,
): CoefficientsProposal => {
  const made = workedOut(result, item, asked, coverage);
  if (!made.ok) return { decision: "leave-alone", reason: made.fault.message, correction: null };
  const { forecast } = made.value;
  const leave = (reason: string): CoefficientsProposal => ({ decision: "leave-alone", reason, correction: made.value });
  const fraction = largestFraction(result);
  const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;
  if (fraction <= asked.adjustAbove)
    return leave(
      `The largest error is ${percent(fraction)} of its tolerance; the procedure loads new coefficients above ${percent(asked.adjustAbove)}.`,
    );
  if (forecast.every(({ shift, U }) => Math.abs(shift) < U))
    return leave("No shift is larger than its own uncertainty: new coefficients would chase noise.");
  const largest = (values: readonly number[]): number => Math.max(...values.map(Math.abs));
  const before = largest(forecast.map(({ asFound }) => asFound));
  const after = largest(forecast.map(({ asLeft }) => asLeft));
  if (after >= before) return leave("No coefficients of this equation make the largest error smaller.");
  const where = made.value.inItem
    ? "Enter them in the item, then confirm"
    : "They go with the sensor; enter them wherever it is read, then confirm";
  return {
    decision: "adjust",
    reason: `With new coefficients the largest error would go from ${before.toPrecision(2)} K to ${after.toPrecision(2)} K. ${where}.`,
    correction: made.value,
  };
};
