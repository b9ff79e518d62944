import { evaluate } from "../evaluate/evaluate.ts";
import type { Job } from "../job/job.ts";
import { isSwitch } from "../job/switch-sweeps.ts";
import type { PointResult } from "../result/result.ts";
import { switchPoints } from "./switch-forecast.ts";
import { toleranceAt } from "../tolerance/tolerance-at.ts";
import { predictedLog, type ForecastOptions } from "./predicted-log.ts";

export interface ForecastPoint {
  readonly point: number;
  readonly temperature: number;
  readonly tolerance: { readonly lower: number; readonly upper: number } | null;
  /** Why there is no tolerance, or no uncertainty, where there is none. */
  readonly note: string | null;
  /** Expected expanded uncertainty of the error, K. */
  readonly expectedU: number | null;
  /** Test uncertainty ratio: the nearer limit over the expected U. */
  readonly ratio: number | null;
  /** The largest lines of the budget, by their share of u². */
  readonly dominant: readonly { readonly name: string; readonly share: number }[];
  /** The evaluation of the foreseen readings in full, budget and acceptance limits included. */
  readonly result: PointResult;
}

export interface Forecast {
  readonly items: readonly { readonly item: string; readonly points: readonly ForecastPoint[] }[];
}

const linesShown = 3;

const forecastPoint = (job: Job, item: Job["items"][number], result: PointResult): ForecastPoint => {
  const temperature = isSwitch(item) ? result.nominal : job.procedure.points[result.point]!.temperature;
  const limits = toleranceAt(item.tolerance, item, temperature);
  const tolerance = limits.ok ? { lower: limits.value.lower, upper: limits.value.upper } : null;
  const note = limits.ok ? null : limits.fault.message;
  if (result.status !== "measured") {
    return {
      point: result.point,
      temperature,
      tolerance,
      note: note ?? result.reason,
      expectedU: null,
      ratio: null,
      dominant: [],
      result,
    };
  }
  const { U, lines } = result.budget;
  const nearest = tolerance === null ? null : Math.min(-tolerance.lower, tolerance.upper);
  return {
    point: result.point,
    temperature,
    tolerance,
    note,
    expectedU: U,
    ratio: nearest === null ? null : nearest / U,
    dominant: [...lines]
      .sort((a, b) => b.share - a.share)
      .slice(0, linesShown)
      .map(({ name, share }) => ({ name, share })),
    result,
  };
};

/**
 * What a job will be able to say, before anything is heated: the evaluation itself, on the readings of a bench at rest.
 * Temperatures in °C, uncertainties in K. A point that cannot be evaluated carries the reason and no figures.
 */
export const forecast = (job: Job, options: ForecastOptions): Forecast => {
  const result = evaluate(predictedLog(job, options));
  // The evaluation lists the items in their order, and the first pass of each always.
  const items = job.items.map((item, index) => {
    const pass = result.items[index]!.passes[0]!;
    const points = isSwitch(item) ? switchPoints(job, pass) : pass.points;
    return { item: item.id, points: points.map((point) => forecastPoint(job, item, point)) };
  });
  return { items };
};
