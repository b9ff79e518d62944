import { forecast, plannedPoints, type Item, type Job, type MeasuredPoint } from "#calibration";
import type { FaultValue } from "#fault";
import { orderRules } from "./order/order-rules.ts";
import { costOf, leastTimeOrder, type OrderCosts } from "./order/least-time.ts";
import { orderCosts } from "./order/order-costs.ts";
import { leavingTime, type LeavingTime } from "./pace/cooling.ts";
import { paceOf, paceWords, type LearntPace, type Pace } from "./pace/pace.ts";
import type { PointTime, TimeModel } from "./pace/point-time.ts";
import { sweepTime } from "./pace/sweep-time.ts";
import { expectedRisk, type ExpectedRisk } from "./proof/expected-risk.ts";
import { fitInSource } from "./proof/fit-in-source.ts";
import {
  improvements,
  limitingEntry,
  type Improvement,
  type Limiting,
  type PointPlace,
} from "./proof/limiting-entry.ts";
import { provesAnything, refusalOf } from "./proof/proof.ts";

/** What a plan needs to know beyond the job. */
export interface PlanContext {
  /** Day of the work, year-month-day. */
  readonly day: string;
  /** Settling target of an item at a temperature, K. */
  readonly target: (job: Job, item: Item, temperature: number) => number;
  /** What else stands in the way of a run on that day: kit out of calibration, points out of range. */
  readonly obstacles: (job: Job, day: string) => readonly FaultValue[];
  /** What earlier runs of the job's source tell of its pace. */
  readonly learnt?: LearntPace | null | undefined;
}

export interface PlannedPoint {
  readonly point: number;
  readonly temperature: number;
  /** Expected expanded uncertainty of the error, K; null where the point cannot be evaluated, and `note` says why. */
  readonly expectedU: number | null;
  readonly tolerance: { readonly lower: number; readonly upper: number } | null;
  readonly acceptance: { readonly lower: number; readonly upper: number } | null;
  /** Test uncertainty ratio: the nearer limit over U. */
  readonly ratio: number | null;
  readonly risk: ExpectedRisk | null;
  /** Whether an error could be accepted here at all. */
  readonly proves: boolean;
  readonly limiting: Limiting | null;
  readonly dominant: readonly { readonly name: string; readonly share: number }[];
  readonly time: PointTime;
  readonly note: string | null;
}

export interface PlannedItem {
  readonly item: string;
  readonly tag: string;
  readonly points: readonly PlannedPoint[];
  /** Point with the smallest ratio, which decides whether the kit is good enough; null where none has one. */
  readonly worst: number | null;
  /** What would help most there; null where nothing would. */
  readonly change: Improvement | null;
}

export interface PlannedOrder {
  /** Places in the procedure's points, in the order that costs least time. */
  readonly points: readonly number[];
  readonly temperatures: readonly number[];
  /** What it saves against the written order, s, until everything can be carried away. */
  readonly saves: number;
  readonly differs: boolean;
  readonly exact: boolean;
  readonly bound: readonly string[];
}

/** Seconds. `whole` runs from the first set point until the source may be carried away. */
export interface PlannedTime {
  readonly points: number;
  readonly shortest: number;
  readonly longest: number;
  readonly leaving: LeavingTime;
  readonly whole: number;
  /** A second pass, after an adjustment; null where none is planned. */
  readonly asLeft: number | null;
  readonly basis: string;
  readonly origin: Pace["origin"];
}

export interface JobPlan {
  readonly job: string;
  readonly title: string;
  readonly day: string;
  readonly ready: boolean;
  readonly obstacles: readonly FaultValue[];
  readonly items: readonly PlannedItem[];
  readonly time: PlannedTime;
  readonly order: PlannedOrder;
  readonly pace: Pace;
}

const measuredOf = (result: { readonly status: string }): MeasuredPoint | null =>
  result.status === "measured" ? (result as MeasuredPoint) : null;

const orderOf = (costs: OrderCosts, job: Job): PlannedOrder => {
  const rules = orderRules(job);
  const written = costs.temperatures.map((_, index) => index);
  const best = leastTimeOrder(costs, rules);
  return {
    points: best.points,
    temperatures: best.points.map((index) => costs.temperatures[index]!),
    saves: costOf(costs, written) - best.seconds,
    differs: best.points.some((point, index) => point !== index),
    exact: best.exact,
    bound: rules.words,
  };
};

const timeOf = (model: TimeModel, times: readonly PointTime[]): PlannedTime => {
  const { job, pace } = model;
  const ambient = job.conditions.ambientTemperature.value;
  const planned = plannedPoints(job.procedure);
  const temperatures = planned.map(({ temperature }) => temperature);
  const last = temperatures.at(-1)!;
  const sum = (key: "total" | "shortest" | "longest"): number => times.reduce((total, time) => total + time[key], 0);
  const leaving = leavingTime(pace, last, ambient);
  const again = planned.reduce(
    (total, point, index) => total + sweepTime(model, temperatures[index - 1] ?? last, point).total,
    0,
  );
  return {
    points: sum("total"),
    shortest: sum("shortest"),
    longest: sum("longest"),
    leaving,
    whole: sum("total") + leaving.transport,
    asLeft: job.procedure.passes.includes("as-left") ? again : null,
    basis: paceWords(pace, job),
    origin: pace.origin,
  };
};

const worstOf = (points: readonly PlannedPoint[]): number | null => {
  const withRatio = points.filter(({ ratio }) => ratio !== null);
  return withRatio.length === 0
    ? null
    : withRatio.reduce((one, other) => (other.ratio! < one.ratio! ? other : one)).point;
};

/**
 * The plan of a job before anything is heated: what each point will be able to say (by the evaluation itself, on foreseen
 * readings), what limits it, how long it takes, in which order it is quickest, and what stands in the way (rules P1 to P5).
 */
export const planJob = (job: Job, context: PlanContext): JobPlan => {
  const { day } = context;
  const target = (item: Item, temperature: number): number => context.target(job, item, temperature);
  const pace = paceOf(job.kit.source, context.learnt);
  const model: TimeModel = { job, pace, target };
  const ambient = job.conditions.ambientTemperature.value;
  const visited = plannedPoints(job.procedure);
  const times = visited.map((point, index) => sweepTime(model, visited[index - 1]?.temperature ?? ambient, point));
  const foreseen = forecast(job, { day, target });
  const refusals: FaultValue[] = [];
  const items = job.items.map((item, index): PlannedItem => {
    const points = foreseen.items[index]?.points ?? [];
    const placeAt = (temperature: number): PointPlace => ({ job, item, temperature, day, target: context.target });
    const planned = points.map(
      ({ point, temperature, tolerance, note, expectedU, ratio, dominant, result }): PlannedPoint => {
        const measured = measuredOf(result);
        return {
          point,
          temperature,
          expectedU,
          tolerance,
          acceptance: measured?.conformity?.acceptance ?? null,
          ratio,
          risk: measured === null ? null : expectedRisk(measured),
          proves: measured !== null && provesAnything(measured),
          limiting: measured === null ? null : limitingEntry(placeAt(temperature), measured),
          dominant,
          time: times[point]!,
          note: note ?? measured?.conformityNote ?? null,
        };
      },
    );
    const refusal = refusalOf(
      item,
      job.procedure.decision,
      points.map(({ temperature, note, result }) => ({ temperature, note, measured: measuredOf(result) })),
      (measured) => improvements(placeAt(measured.nominal), measured),
    );
    if (refusal !== null) refusals.push(refusal);
    const worst = worstOf(planned);
    const measured = worst === null ? null : measuredOf(points.find(({ point }) => point === worst)!.result);
    return {
      item: item.id,
      tag: item.tag,
      points: planned,
      worst,
      change: measured === null ? null : (improvements(placeAt(measured.nominal), measured)[0] ?? null),
    };
  });
  const before = [...context.obstacles(job, day), ...fitInSource(job)];
  // Where the kit cannot be used at all, that no point can be evaluated follows from it and is not said again.
  const obstacles =
    before.length > 0 ? [...before, ...refusals.filter(({ data }) => data?.["U"] !== undefined)] : refusals;
  return {
    job: job.job,
    title: job.title,
    day,
    ready: obstacles.length === 0,
    obstacles,
    items,
    time: timeOf(model, times),
    order: orderOf(orderCosts(model), job),
    pace,
  };
};

/** The job with its points in another order, given by their present places. */
export const inOrder = (job: Job, points: readonly number[]): Job => ({
  ...job,
  procedure: { ...job.procedure, points: points.map((index) => job.procedure.points[index]!) },
});
