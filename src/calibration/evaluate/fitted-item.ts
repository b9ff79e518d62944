import { failure, success, type Outcome } from "#fault";
import { measuredUnit, reportedUncertainty, roundedTo } from "#quantity";
import { signalOf } from "#thermometry";
import { coverageFactor } from "#uncertainty";
import type { CurveFit, FitModel, FitPoint } from "../fit/curve-fit.ts";
import { bandOf, type Band } from "../fit/fit-band.ts";
import { fitCurve } from "../fit/fit-curve.ts";
import type { Item } from "../job/item.ts";
import type { Procedure } from "../job/procedure.ts";
import type {
  FittedCoefficient,
  FittedItem,
  FittedRow,
  MeasuredPoint,
  PointResult,
  UnfittedItem,
} from "../result/result.ts";
import { splitUncertainty } from "./own-to-point.ts";

type Asked = NonNullable<Procedure["fit"]>;

/** A point that claims nothing of its own still weighs no more than a microkelvin would. */
const leastOwn = 1e-6;

const sensorOf: Readonly<Record<FitModel, { readonly kind: string; readonly words: string } | null>> = {
  "callendar-van-dusen": { kind: "platinum", words: "platinum thermometers" },
  "its-90": { kind: "platinum", words: "platinum thermometers" },
  "thermocouple-deviation": { kind: "thermocouple", words: "thermocouples" },
  polynomial: null,
};

/** A measured point with its signal (a thermocouple's as if its junction stood at 0 °C) and the slope there. */
interface SignalPoint extends FitPoint {
  readonly slope: number;
}

const signalPoint = (item: Item, point: MeasuredPoint): Outcome<SignalPoint> => {
  const at = signalOf(item.sensor, point.indication.value);
  if (!at.ok) return at;
  const { own, common } = splitUncertainty(point);
  const slope = Math.abs(at.value.slope);
  return success({
    x: point.reference.value,
    y: item.sensor.kind === "thermocouple" ? at.value.signal : point.signal.value,
    u: Math.max(own, leastOwn) * slope,
    common: common * slope,
    slope,
  });
};

const steps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200] as const;
const mostRows = 60;

/** Temperatures of the table: both ends of the range and the round ones between, no more than fit on a page. */
export const tableTemperatures = (lower: number, upper: number): number[] => {
  const inside = (step: number): number[] => {
    const list: number[] = [];
    for (let index = Math.floor(lower / step) + 1; index * step < upper; index += 1)
      list.push(Number((index * step).toFixed(1)));
    return list;
  };
  const step = steps.find((candidate) => (upper - lower) / candidate <= mostRows - 2) ?? 500;
  return lower === upper ? [lower] : [lower, ...inside(step), upper];
};

const row = (band: Band, k: number): Outcome<FittedRow> => {
  const { temperature, signal, slope, u, kelvin } = band;
  const [ofSignal, ofTemperature] = [reportedUncertainty(k * u), reportedUncertainty(k * kelvin)];
  if (!ofSignal.ok) return ofSignal;
  if (!ofTemperature.ok) return ofTemperature;
  const places = Number.isInteger(temperature) ? 0 : Number.isInteger(temperature * 10) ? 1 : 3;
  return success({
    temperature,
    signal,
    slope,
    U: k * kelvin,
    reported: {
      temperature: roundedTo(temperature, places),
      signal: roundedTo(signal, Math.max(ofSignal.value.places, 0)),
      U: ofTemperature.value.U,
    },
  });
};

const tableOf = (
  fit: CurveFit,
  { lower, upper }: { lower: number; upper: number },
  k: number,
): Outcome<readonly FittedRow[]> => {
  // The table runs between the nominal ends; the source may have stood a little inside of them.
  const band = bandOf({ ...fit, range: { lower, upper } });
  if (!band.ok) return band;
  const rows: FittedRow[] = [];
  for (const temperature of tableTemperatures(lower, upper)) {
    const at = band.value(temperature);
    if (!at.ok) return at;
    const made = row(at.value, k);
    if (!made.ok) return made;
    rows.push(made.value);
  }
  return success(rows);
};

const unitOf = (model: FitModel, name: string, signal: string): string => {
  const power = Number(/^[cd](\d+)$/.exec(name)?.[1] ?? 0);
  switch (model) {
    case "callendar-van-dusen":
      return { r0: "Ω", a: "°C⁻¹", b: "°C⁻²", c: "°C⁻⁴" }[name] ?? "";
    case "its-90":
      return name === "rtpw" ? "Ω" : "";
    case "polynomial":
    case "thermocouple-deviation":
      return power === 0
        ? signal
        : `${signal}·°C⁻${[...String(power)].map((digit) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(digit)]!).join("")}`;
  }
};

const coefficientsWithUnits = (fit: CurveFit, unit: string): FittedCoefficient[] =>
  fit.names.map((name, index) => ({
    name,
    value: fit.coefficients[index]!,
    unit: unitOf(fit.model, name, unit),
    standardError: fit.standardErrors?.[index] ?? 0,
  }));

const fitted = (item: Item, points: readonly MeasuredPoint[], asked: Asked, coverage: number): Outcome<FittedItem> => {
  const wanted = sensorOf[asked.model];
  if (wanted !== null && wanted.kind !== item.sensor.kind)
    return failure("fit.impossible", `The model ${asked.model} is for ${wanted.words}, and ${item.tag} is none.`);
  const signals: SignalPoint[] = [];
  for (const point of points) {
    const signal = signalPoint(item, point);
    if (!signal.ok) return signal;
    signals.push(signal.value);
  }
  const type = item.sensor.kind === "thermocouple" ? item.sensor.type : undefined;
  const outcome = fitCurve({ ...asked, type, points: signals });
  if (!outcome.ok) return outcome;
  const fit = outcome.value;
  const nominals = points.map(({ nominal }) => nominal);
  const range = { lower: Math.min(...nominals), upper: Math.max(...nominals) };
  const k = coverageFactor(coverage, Number.POSITIVE_INFINITY);
  const table = tableOf(fit, range, k);
  if (!table.ok) return table;
  const unit = measuredUnit(item.unit);
  const residuals = points.map(({ point, nominal, reference }, index) => ({
    point,
    nominal,
    temperature: reference.value,
    residual: fit.residuals[index]!,
    kelvin: fit.residuals[index]! / signals[index]!.slope,
  }));
  return success({
    status: "fitted",
    model: fit.model,
    unit,
    subrange: asked.subrange ?? null,
    coefficients: coefficientsWithUnits(fit, unit),
    covariance: fit.covariance ?? [],
    residuals,
    largestResidual: Math.max(...residuals.map(({ kelvin }) => Math.abs(kelvin))),
    residualStandardDeviation: fit.residualStandardDeviation,
    degreesOfFreedom: fit.degreesOfFreedom,
    range,
    k,
    coverage,
    table: table.value,
    sensor: fit.sensor,
    notes: fit.notes,
    origin: [...new Set(points.flatMap(({ error }) => error.origin))].sort((a, b) => a - b),
  });
};

/** The measured points of one pass as the equation that the procedure asks for, or why there is none (rule C36). */
export const fittedItem = (
  item: Item,
  points: readonly PointResult[],
  asked: Asked,
  coverage: number,
): FittedItem | UnfittedItem => {
  const measured = points.filter((point) => point.status === "measured");
  if (measured.length === 0) return { status: "not-fitted", reason: "No point was measured." };
  const outcome = fitted(item, measured, asked, coverage);
  return outcome.ok ? outcome.value : { status: "not-fitted", reason: outcome.fault.message };
};
