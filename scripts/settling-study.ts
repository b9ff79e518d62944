/**
 * `node scripts/settling-study.ts [APPROACHES]`: how well the settling decision does on the physics of the simulated bench, as
 * Markdown tables for `docs/science/settling.md`. 100 approaches a cell if nothing is said; the seeds are fixed.
 */
import { createSettling, defaultSettling, forecastOf, observe, type Forecast, type SettlingState } from "#settling";
import { otherApproachOf, otherKinds, type OtherKind } from "../src/settling/other-physics.test-support.ts";
import {
  studyApproach,
  studyItems,
  type Stress,
  type StudyApproach,
  type StudyItem,
} from "./settling-study/study-approach.ts";

type SourceClass = Parameters<typeof studyApproach>[0];

interface Cell {
  readonly name: string;
  readonly source: SourceClass;
  readonly item: StudyItem;
  readonly stress?: Stress;
}

const plainCells: readonly Cell[] = (["bath", "dry-block", "furnace"] as const).flatMap((source) =>
  (Object.keys(studyItems) as StudyItem[]).map((item) => ({ name: `${source}, ${item}`, source, item })),
);

const stressCells: readonly Cell[] = [
  {
    name: "loose fit 2 % at 300 s",
    source: "dry-block",
    item: "6 mm Pt100",
    stress: { loose: { share: 0.02, lag: 300 } },
  },
  {
    name: "loose fit 5 % at 300 s",
    source: "dry-block",
    item: "6 mm Pt100",
    stress: { loose: { share: 0.05, lag: 300 } },
  },
  {
    name: "loose fit 5 % at 300 s, thin, bath",
    source: "bath",
    item: "thin thermocouple",
    stress: { loose: { share: 0.05, lag: 300 } },
  },
  {
    name: "loose fit 5 % at 600 s",
    source: "dry-block",
    item: "6 mm Pt100",
    stress: { loose: { share: 0.05, lag: 600 } },
  },
  {
    name: "loose fit 5 % at 600 s, transmitter",
    source: "dry-block",
    item: "Pt100 with transmitter",
    stress: { loose: { share: 0.05, lag: 600 } },
  },
  {
    name: "cycling ±80 mK, 250 s",
    source: "dry-block",
    item: "6 mm Pt100",
    stress: { cycling: { amplitude: 0.08, period: 250 } },
  },
  {
    name: "cycling ±80 mK, 250 s, thick",
    source: "dry-block",
    item: "thick thermowell",
    stress: { cycling: { amplitude: 0.08, period: 250 } },
  },
  {
    name: "a twentieth of the tolerance",
    source: "dry-block",
    item: "Pt100 with transmitter",
    stress: { fraction: 0.05 },
  },
  {
    name: "display of 0.1 K, loose fit 5 % at 300 s",
    source: "dry-block",
    item: "6 mm Pt100",
    stress: { resolution: 0.1, fraction: 0.4, loose: { share: 0.05, lag: 300 } },
  },
];

/** Earliest time from which the mean of two minutes stays within the target: what perfect knowledge would wait. */
const ideal = ({ times, reference, item, truth, target }: StudyApproach): number => {
  const width = 120;
  let sum = 0;
  let first = 0;
  let last = 0;
  for (let index = 0; index < times.length; index += 1) {
    sum += item[index]! - reference[index]!;
    for (; times[index]! - times[first]! >= width; first += 1) sum -= item[first]! - reference[first]!;
    const full = times[index]! - times[0]! >= width - 10;
    if (!full || Math.abs(sum / (index + 1 - first) - truth) > target) last = times[index]!;
  }
  return last + 2;
};

interface Watched {
  readonly at: number;
  readonly ideal: number;
  readonly within: boolean;
  readonly covered: boolean;
  readonly estimateCovered: boolean;
  readonly tailSaid: boolean;
  readonly error: number;
  readonly U: number;
  readonly forecasts: readonly (Forecast | null)[];
}

const shares = [0.3, 0.7] as const;
/** What is reported of a point: the mean of so many readings after the decision. */
const measured = 20;

/** Null where the approach is never ready. */
const watch = (approach: StudyApproach): Watched | null => {
  const { times, reference, item, truth, target, resolution, setPoint } = approach;
  let state: SettlingState = createSettling({ ...defaultSettling, target, resolution, setPoint });
  const forecasts: (Forecast | null)[] = [];
  for (let index = 0; index < times.length - measured; index += 1) {
    state = observe(state, { time: times[index]!, reference: reference[index]!, item: item[index]! });
    forecasts.push(index % 5 === 0 || index === 0 ? forecastOf(state) : forecasts.at(-1)!);
    if (!state.ready) continue;
    let mean = 0;
    for (let next = index + 1; next <= index + measured; next += 1) mean += (item[next]! - reference[next]!) / measured;
    const { estimate, slowTail, U, remainder } = state.latest!;
    let scatter = 0;
    for (let next = index + 1; next <= index + measured; next += 1)
      scatter += (item[next]! - reference[next]! - mean) ** 2 / measured;
    const bound = Math.hypot(2 * Math.sqrt(scatter / measured), remainder);
    return {
      at: times[index]!,
      ideal: ideal(approach),
      within: Math.abs(mean - truth) <= target,
      covered: Math.abs(mean - truth) <= bound,
      estimateCovered: Math.abs(estimate - truth) <= U,
      error: Math.abs(estimate - truth),
      U,
      tailSaid: slowTail !== null,
      forecasts: shares.map((share) => forecasts[Math.floor(share * index)] ?? null),
    };
  }
  return null;
};

const quantile = (values: readonly number[], share: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))] ?? Number.NaN;
const percent = (part: number, whole: number): string => ((100 * part) / whole).toFixed(1);

const approaches = Number(process.argv[2] ?? 100);
const all: Watched[] = [];

const row = (name: string, approach: (index: number) => StudyApproach, keep: boolean): string => {
  const watched = Array.from({ length: approaches }, (_, index) => watch(approach(index)));
  const ready = watched.filter((each) => each !== null);
  if (keep) all.push(...ready);
  const count = (of: (each: Watched) => boolean): string => percent(ready.filter(of).length, ready.length);
  const ratios = ready.map((each) => each.at / each.ideal);
  const real = quantile(
    ready.map(({ error }) => error),
    0.95,
  );
  const stated = quantile(
    ready.map(({ U }) => U),
    0.5,
  );
  return (
    `| ${name} | ${ready.length} | ${(
      quantile(
        ready.map(({ at }) => at),
        0.5,
      ) / 60
    ).toFixed(1)} | ${quantile(ratios, 0.5).toFixed(2)} (${quantile(ratios, 0.9).toFixed(2)}) | ` +
    `${count(({ within }) => within)} | ${count(({ covered }) => covered)} | ${count(({ estimateCovered }) => estimateCovered)} | ${count(({ tailSaid }) => tailSaid)} | ` +
    `${(1000 * real).toFixed(1)} | ${(1000 * stated).toFixed(1)} | ${(stated / real).toFixed(1)} |`
  );
};

const onBench = ({ name, source, item, stress }: Cell, seed: number, keep: boolean): string =>
  row(name, (index) => studyApproach(source, item, seed + index, stress), keep);
const onOther = (kind: OtherKind): string => row(kind.name, (index) => otherApproachOf(kind, 9000 + index), false);

const print = (line: string): void => void process.stdout.write(`${line}\n`);
const head =
  "| cell | ready | minutes | time / ideal (90th percentile) | within target, % | covered, % | estimate covered, % | slow tail said, % | real 95 % error, mK | stated U, mK | stated / real |\n|---|---|---|---|---|---|---|---|---|---|---|";

print(head);
for (const cell of plainCells) print(onBench(cell, 1000, true));
print(
  `\npooled: ${quantile(
    all.map((each) => each.at / each.ideal),
    0.5,
  ).toFixed(2)} times the ideal\n`,
);
print(head);
for (const cell of stressCells) print(onBench(cell, 5000, false));
print(`\n${head}`);
for (const kind of otherKinds) print(onOther(kind));
print(
  "\n| forecast at | made, % | median error, % of the wait | 90th percentile | interval held, % |\n|---|---|---|---|---|",
);
shares.forEach((share, place) => {
  const made = all.flatMap(({ at, forecasts }) => {
    const forecast = forecasts[place] ?? null;
    return forecast === null
      ? []
      : [{ error: Math.abs(forecast.at - at) / at, held: forecast.from <= at && at <= forecast.to }];
  });
  const errors = made.map(({ error }) => 100 * error);
  print(
    `| ${100 * share} % | ${percent(made.length, all.length)} | ${quantile(errors, 0.5).toFixed(0)} | ${quantile(errors, 0.9).toFixed(0)} | ${percent(made.filter(({ held }) => held).length, made.length)} |`,
  );
});
