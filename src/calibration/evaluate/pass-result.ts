import { combine } from "#uncertainty";
import type { Item } from "../job/item.ts";
import type { Procedure, Pass } from "../job/procedure.ts";
import type { LogView } from "../log/log-view.ts";
import type {
  Decision,
  MeasuredPoint,
  PassResult,
  PointResult,
  RepeatedTemperature,
  UnmeasuredPoint,
} from "../result/result.ts";
import { fittedItem } from "./fitted-item.ts";
import { measurePoint, type Remarks } from "./measure-point.ts";
import { ownToPoint } from "./own-to-point.ts";

/** Why a point has no window, in words. */
const unmeasured = (view: LogView, pass: Pass, point: number): UnmeasuredPoint => {
  const { skipped, repeated } = view.history(pass, point);
  const nominal = view.opened.job.procedure.points[point]!.temperature;
  if (skipped !== undefined)
    return { status: "skipped", point, nominal, reason: `${skipped.reason} (${skipped.by})`, origin: [skipped.n] };
  if (repeated !== undefined) {
    return {
      status: "not-measured",
      point,
      nominal,
      reason: `To be repeated (${repeated.reason}), but not measured again.`,
      origin: [repeated.n],
    };
  }
  const { ended } = view;
  if (ended === undefined)
    return {
      status: "not-measured",
      point,
      nominal,
      reason: "Not reached yet: the run is still open.",
      origin: [view.last.n],
    };
  const why = ended.reason === undefined ? "" : `: ${ended.reason}`;
  return {
    status: "not-measured",
    point,
    nominal,
    reason: `Not reached before the run ended (${ended.outcome}${why}).`,
    origin: [ended.n],
  };
};

/** From the worst to the best. */
const severity: readonly Decision[] = ["fail", "conditional-fail", "undecided", "conditional-pass", "pass"];

/** The worst decision of the points; a point without a decision of its own counts as undecided (rule C27). */
const worst = (points: readonly PointResult[]): Decision | null => {
  if (!points.some((point) => point.status === "measured")) return null;
  const decisions = points.map((point) =>
    point.status === "measured" ? (point.conformity?.decision ?? "undecided") : "undecided",
  );
  return severity.find((decision) => decisions.includes(decision)) ?? null;
};

const differenceU = (one: MeasuredPoint, other: MeasuredPoint): number => {
  const lines = [one, other].flatMap(({ budget }, which) =>
    budget.lines
      .filter(({ id }) => ownToPoint.has(id))
      .map(({ id, contribution, degreesOfFreedom }) => ({
        name: `${which} ${id}`,
        u: contribution,
        dof: degreesOfFreedom ?? Number.POSITIVE_INFINITY,
      })),
  );
  const combined = combine({ lines, level: one.budget.coverage });
  return combined.ok ? combined.value.U : 0;
};

/** Which way a point was reached from the one before it in the procedure; null for the first. */
const approach = ({ points }: Procedure, point: number): "rising" | "falling" | null => {
  if (point === 0) return null;
  return points[point]!.temperature >= points[point - 1]!.temperature ? "rising" : "falling";
};

const repeatsOf = (procedure: Procedure, points: readonly PointResult[]): RepeatedTemperature[] => {
  const measured = points.filter((point) => point.status === "measured");
  return measured.flatMap((later, index) => {
    const earlier = measured.slice(0, index).findLast((point) => point.nominal === later.nominal);
    if (earlier === undefined) return [];
    const origin = [...new Set([...earlier.error.origin, ...later.error.origin])].sort((a, b) => a - b);
    return [
      {
        nominal: later.nominal,
        points: [earlier.point, later.point] as const,
        approach: [approach(procedure, earlier.point), approach(procedure, later.point) ?? "rising"] as const,
        difference: { value: later.error.value - earlier.error.value, unit: "K" as const, origin },
        U: differenceU(earlier, later),
      },
    ];
  });
};

/** All points of one item in one pass, in the order of the procedure. */
export const passResult = (view: LogView, item: Item, pass: Pass, remarks: Remarks): PassResult => {
  const { procedure } = view.opened.job;
  const points = procedure.points.map((_, point) => {
    const history = view.history(pass, point);
    return history.measured === undefined
      ? unmeasured(view, pass, point)
      : measurePoint(view, { item, pass, point }, history, remarks);
  });
  const repeats = repeatsOf(procedure, points);
  return {
    pass,
    points,
    decision: worst(points),
    ...(repeats.length === 0 ? {} : { repeats }),
    ...(procedure.fit === undefined ? {} : { fit: fittedItem(item, points, procedure.fit, procedure.coverage) }),
  };
};
