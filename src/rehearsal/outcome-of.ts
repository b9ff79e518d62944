import type { Item, MeasuredPoint, Pass, RunEvent, RunEventOf } from "#calibration";
import { approachTruth, type ApproachTruth } from "./approach-truth.ts";
import type { ConductedRun, LiveLook } from "./conduct.ts";
import type { MadeForecast, MissedPoint, PointOutcome } from "./outcome.ts";
import type { Physics } from "./physics.ts";

/** The approach that led to a measured point of an item. */
interface Approach {
  readonly item: Item;
  readonly pass: Pass;
  readonly measured: MeasuredPoint;
  readonly commanded: RunEventOf<"set-point-commanded">;
  readonly settled: RunEventOf<"point-settled">;
  readonly window: RunEventOf<"point-measured">;
}

const isOf = <K extends RunEvent["kind"]>(
  event: RunEvent,
  kind: K,
  pass: Pass,
  point: number,
): event is RunEventOf<K> =>
  event.kind === kind && "pass" in event && event.pass === pass && "point" in event && event.point === point;

const approachOf = (log: readonly RunEvent[], item: Item, pass: Pass, measured: MeasuredPoint): Approach | null => {
  const { point } = measured;
  const window = log.findLast(
    (event): event is RunEventOf<"point-measured"> =>
      isOf(event, "point-measured", pass, point) && (event.item === undefined || event.item === item.id),
  );
  if (window === undefined) return null;
  const before = log.slice(0, window.n);
  const settled = before.findLast(
    (event): event is RunEventOf<"point-settled"> =>
      isOf(event, "point-settled", pass, point) && event.item === item.id,
  );
  const commanded = before.findLast((event): event is RunEventOf<"set-point-commanded"> =>
    isOf(event, "set-point-commanded", pass, point),
  );
  return settled === undefined || commanded === undefined ? null : { item, pass, measured, commanded, settled, window };
};

/** The forecast that stood at a moment of an approach: the latest one made by then. */
const forecastAt = (looks: readonly LiveLook[], { item, commanded }: Approach, at: number): MadeForecast | null =>
  looks.findLast((look) => look.at <= at && look.at > commanded.at)?.forecasts[item.id] ?? null;

const rampShare = 0.3;

/** When the reference had gone a share of its way to the set point. */
const rampMoment = (looks: readonly LiveLook[], { commanded, settled }: Approach): number | null => {
  const from = looks.findLast((look) => look.at <= commanded.at)?.reference ?? null;
  const during = looks.filter((look) => look.at > commanded.at && look.at <= settled.at);
  const begun = from ?? during[0]?.reference ?? null;
  if (begun === null || begun === commanded.temperature) return null;
  const gone = during.find(
    ({ reference }) => reference !== null && (reference - begun) / (commanded.temperature - begun) >= rampShare,
  );
  return gone?.at ?? null;
};

/** Notes in which the engine says that it suspects a slow tail name it so. */
const tailWords = "slow tail";

const tailSuspected = (log: readonly RunEvent[], { commanded, window, item }: Approach): boolean =>
  log
    .slice(commanded.n, window.n)
    .some((event) => event.kind === "note-added" && event.text.includes(tailWords) && event.text.startsWith(item.tag));

const pointOutcome = (run: ConductedRun, approach: Approach, truth: ApproachTruth): PointOutcome => {
  const { log, looks } = run;
  const { item, pass, measured, commanded, settled, window } = approach;
  const { evidence } = settled;
  const wait = settled.at - commanded.at;
  const ramp = rampMoment(looks, approach);
  return {
    seed: run.plant.seed,
    item: item.id,
    pass,
    point: measured.point,
    setPoint: commanded.temperature,
    commanded: commanded.at,
    wait,
    whole: window.at - commanded.at,
    oracle: truth.oracle,
    foresight: truth.foresight,
    soaks: truth.soaks,
    target: evidence.target,
    error: measured.error.value,
    U: measured.budget.U,
    truth: truth.truth,
    steady: truth.steady,
    missing: truth.missing,
    estimate: evidence.estimate,
    bound: evidence.remainder + 2 * evidence.standardUncertainty,
    tailSuspected: tailSuspected(log, approach),
    tolerance: measured.conformity === null ? null : { ...measured.conformity.tolerance },
    decision: measured.conformity?.decision ?? null,
    forecasts: {
      wait30: forecastAt(looks, approach, commanded.at + 0.3 * wait),
      wait70: forecastAt(looks, approach, commanded.at + 0.7 * wait),
      ramp30: ramp === null ? null : forecastAt(looks, approach, ramp),
    },
  };
};

const truthsOf = (
  run: ConductedRun,
  physics: Physics,
  shortestWindow: number,
  readings: { readonly count: number; readonly interval: number },
  approaches: readonly Approach[],
): readonly ApproachTruth[] => {
  const { commanded } = approaches[0]!;
  const deeds = run.deeds.filter(({ at }) => at <= commanded.at);
  return approachTruth({
    plant: run.plant,
    deeds,
    questions: approaches.map(({ item, settled, window }) => ({
      item: item.id,
      target: settled.evidence.target,
      window: { from: window.from, to: window.to },
    })),
    shortestWindow,
    readingTime: (readings.count - 1) * readings.interval,
    band: physics.soak.band,
  });
};

/** What a conducted run came to at each of its points, beside what the bench knows of them. */
export const outcomesOf = (
  run: ConductedRun,
  items: readonly Item[],
  physics: Physics,
  procedure: {
    readonly readings: { readonly count: number; readonly interval: number };
    readonly settling: { readonly minimumWindow: number };
  },
): { readonly points: readonly PointOutcome[]; readonly missed: readonly MissedPoint[] } => {
  const approaches: Approach[] = [];
  const missed: MissedPoint[] = [];
  for (const result of run.result.items) {
    const item = items.find(({ id }) => id === result.item)!;
    for (const { pass, points } of result.passes) {
      for (const point of points) {
        const approach = point.status === "measured" ? approachOf(run.log, item, pass, point) : null;
        if (approach !== null) approaches.push(approach);
        else if (point.status !== "measured" && !point.reason.startsWith("not adjusted"))
          missed.push({ item: item.id, setPoint: point.nominal, reason: point.reason });
      }
    }
  }
  const together = Map.groupBy(approaches, ({ commanded }) => commanded.n);
  const points = [...together.values()].flatMap((group) => {
    const truths = truthsOf(run, physics, procedure.settling.minimumWindow, procedure.readings, group);
    return group.map((approach, index) => pointOutcome(run, approach, truths[index]!));
  });
  return { points, missed };
};
