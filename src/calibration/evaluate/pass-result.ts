import { combine } from "#uncertainty";
import type { Item } from "../job/item.ts";
import type { Direction, Pass } from "../job/procedure.ts";
import type { LogView, PassPoint } from "../log/log-view.ts";
import type {
  Decision,
  Hysteresis,
  MeasuredPoint,
  PassResult,
  PointResult,
  RepeatedTemperature,
  UnmeasuredPoint,
} from "../result/result.ts";
import { approachDirection } from "./approach-direction.ts";
import { fittedItem } from "./fitted-item.ts";
import { measurePoint, type Remarks } from "./measure-point.ts";
import { isSwitch } from "../job/switch-sweeps.ts";
import { switchPass } from "../switch/switch-pass.ts";
import { ownToPoint } from "./own-to-point.ts";

/** Why a point has no window, in words. */
const unmeasured = (view: LogView, pass: Pass, { point, temperature: nominal }: PassPoint): UnmeasuredPoint => {
  const { skipped, repeated } = view.history(pass, point);
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

/** Points that were measured, in the order in which that was done. */
const inOrder = (points: readonly PointResult[]): MeasuredPoint[] =>
  points.filter((point) => point.status === "measured").toSorted((a, b) => a.window.from - b.window.from);

const repeatsOf = (points: readonly PointResult[]): RepeatedTemperature[] => {
  const measured = inOrder(points);
  return measured.flatMap((later, index) => {
    const earlier = measured.slice(0, index).findLast((point) => point.nominal === later.nominal);
    if (earlier === undefined) return [];
    const origin = [...new Set([...earlier.error.origin, ...later.error.origin])].sort((a, b) => a - b);
    return [
      {
        nominal: later.nominal,
        points: [earlier.point, later.point] as const,
        approach: [earlier.approach ?? null, later.approach ?? null] as const,
        difference: { value: later.error.value - earlier.error.value, unit: "K" as const, origin },
        U: differenceU(earlier, later),
      },
    ];
  });
};

/** Temperatures that were reached from both sides: the last rising and the last falling of each. */
const hysteresisOf = (points: readonly PointResult[]): Hysteresis[] => {
  const measured = inOrder(points);
  return [...new Set(measured.map(({ nominal }) => nominal))].flatMap((nominal) => {
    const towards = (direction: Direction): MeasuredPoint | undefined =>
      measured.findLast((point) => point.nominal === nominal && point.approach === direction);
    const [rising, falling] = [towards("rising"), towards("falling")];
    if (rising === undefined || falling === undefined) return [];
    const origin = [...new Set([...rising.error.origin, ...falling.error.origin])].sort((a, b) => a - b);
    const difference = { value: falling.error.value - rising.error.value, unit: "K" as const, origin };
    return [{ nominal, rising: rising.point, falling: falling.point, difference, U: differenceU(rising, falling) }];
  });
};

/** One point as it was measured or not, with what its place among the others adds. */
const pointResult = (view: LogView, item: Item, pass: Pass, place: PassPoint, remarks: Remarks): PointResult => {
  const { point } = place;
  const history = view.history(pass, point, item.id);
  if (history.measured === undefined) return unmeasured(view, pass, place);
  const result = measurePoint(view, { item, pass, point }, history, remarks);
  if (result.status !== "measured") return result;
  const twice = view.points(pass).filter(({ temperature }) => temperature === place.temperature).length > 1;
  const approach = twice ? approachDirection(view, pass, point, history.measured.n) : null;
  return {
    ...result,
    ...(approach === null ? {} : { approach }),
    ...(place.added === undefined ? {} : { added: `${place.added.reason} (${place.added.by})` }),
  };
};

/** The item with the coefficients that held in a pass: signals were converted with them. */
const itemIn = (view: LogView, item: Item, pass: Pass): Item => {
  const n = view.points(pass).map(({ point }) => view.history(pass, point, item.id).measured?.n ?? 0);
  return view.jobAt(Math.max(0, ...n)).items.find(({ id }) => id === item.id) ?? item;
};

/** All points of one item in one pass, in the order of the procedure, those that were added after them. */
export const passResult = (view: LogView, item: Item, pass: Pass, remarks: Remarks): PassResult => {
  if (isSwitch(item)) return switchPass(view, item, pass, remarks);
  const { procedure } = view.opened.job;
  const points = view.points(pass).map((place) => pointResult(view, item, pass, place, remarks));
  const repeats = repeatsOf(points);
  const hysteresis = hysteresisOf(points);
  return {
    pass,
    points,
    decision: worst(points),
    ...(repeats.length === 0 ? {} : { repeats }),
    ...(hysteresis.length === 0 ? {} : { hysteresis }),
    ...(procedure.fit === undefined
      ? {}
      : { fit: fittedItem(itemIn(view, item, pass), points, procedure.fit, procedure.coverage) }),
  };
};
