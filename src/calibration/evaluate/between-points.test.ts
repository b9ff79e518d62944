import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import type { JobInput } from "../job/job.ts";
import type { MeasuredPoint, Result } from "../result/result.ts";
import { covarianceBetween, differenceBetween } from "./between-points.ts";
import { evaluate } from "./evaluate.ts";
import { InventedRun, inventedJob, inventedKit, resistor, thermocouple } from "./invented-run.test-support.ts";

/** What stays of a result when it has been stored and read again. */
const stored = (result: Result): Result => JSON.parse(JSON.stringify(result)) as Result;

const point = (result: Result, pass: number, place: number, item = 0): MeasuredPoint => {
  const found = result.items[item]!.passes[pass]!.points[place]!;
  if (found.status !== "measured") throw new Error(JSON.stringify(found));
  return found;
};

const twoPasses = (items: JobInput["items"], changes: Partial<JobInput> = {}): Result => {
  const base = inventedJob();
  const job = inventedJob({ items, procedure: { ...base.procedure, passes: ["as-found", "as-left"] }, ...changes });
  const run = new InventedRun(job).begin();
  for (const place of [0, 1]) run.measure({ point: place, errors: items.map(() => 0.4), noise: 0.003 });
  run.begin("as-left");
  for (const place of [0, 1])
    run.measure({ pass: "as-left", point: place, errors: items.map(() => 0.02), noise: 0.003 });
  return stored(evaluate(run.end()));
};

const variance = (measured: MeasuredPoint, shared: boolean): number =>
  measured.budget.lines
    .filter((line) => (line.shared !== undefined) === shared)
    .reduce((sum, line) => sum + line.contribution ** 2, 0);

describe("the covariance of two stored points [C37]", () => {
  const result = twoPasses([resistor]);
  const [found, left] = [point(result, 0, 1), point(result, 1, 1)];

  it("is the variance of what they share, for the same temperature before and after adjustment", () => {
    expect(covarianceBetween(found, left)).toBeGreaterThan(0);
    expect(covarianceBetween(found, left) / variance(found, true)).toBeCloseTo(1, 3);
    expect(covarianceBetween(left, found)).toBe(covarianceBetween(found, left));
  });

  it("of two temperatures holds reference, readout and source, each with its own size there", () => {
    const [zero, hundred] = [point(result, 0, 0), point(result, 0, 1)];
    const by = (measured: MeasuredPoint, id: string): number =>
      measured.budget.lines.find((line) => line.id === id)!.contribution;
    const wanted = zero.budget.lines
      .filter(({ shared }) => shared !== undefined)
      .reduce((sum, { id, contribution }) => sum + contribution * by(hundred, id), 0);
    expect(covarianceBetween(zero, hundred)).toBeCloseTo(wanted, 12);
  });

  it("names kit by serial number and revision, so that it lasts from one run to the next, and ends with a new revision", () => {
    const next = twoPasses([resistor]);
    expect(covarianceBetween(found, point(next, 0, 1))).toBeCloseTo(covarianceBetween(found, left), 6);
    const revised = { ...inventedKit, reference: { ...inventedKit.reference, revision: 2 } };
    const later = point(twoPasses([resistor], { kit: revised }), 0, 1);
    const ofReference = found.budget.lines.filter(({ id }) =>
      /^reference\.(calibration|drift|interpolation|self-heating)$/.test(id),
    );
    expect(covarianceBetween(found, left) - covarianceBetween(found, later)).toBeCloseTo(
      ofReference.reduce((sum, line) => sum + line.contribution ** 2, 0),
      5,
    );
  });

  it("of two items holds the reference, but neither place of the source nor what belongs to an item", () => {
    const second = { ...resistor, id: "item-2", tag: "TT-203", serial: "demo-0009", channel: "item-2" };
    const both = twoPasses([resistor, second]);
    const names = point(both, 0, 1).budget.lines.flatMap(({ shared }) => shared ?? []);
    const others = new Set(point(both, 0, 1, 1).budget.lines.flatMap(({ shared }) => shared ?? []));
    expect(names.filter((name) => others.has(name)).map((name) => name.split(":")[0])).toEqual([
      "reference",
      "reference",
      "reference",
      "reference",
      "readout",
    ]);
    expect(covarianceBetween(point(both, 0, 1), point(both, 0, 1, 1))).toBeGreaterThan(0);
  });

  it("holds the reference junction of one run only", () => {
    const [first, second] = [1, 2].map((seed) => {
      const run = new InventedRun(inventedJob({ items: [thermocouple] }), { seed })
        .begin()
        .measure({ point: 1, noise: 0.003 });
      const log = run.events.map((event) => (event.kind === "run-opened" ? { ...event, run: `run-${seed}` } : event));
      return point(stored(evaluate(log)), 0, 1);
    });
    const junction = first!.budget.lines.find(({ id }) => id === "item.junction")!;
    const common = covarianceBetween(first!, second!);
    expect(covarianceBetween(first!, first!) - common).toBeCloseTo(junction.contribution ** 2, 8);
  });
});

describe("a difference of two stored points [C38]", () => {
  const result = twoPasses([resistor]);
  const [found, left] = [point(result, 0, 1), point(result, 1, 1)];
  const difference = unwrap(differenceBetween(found, left));

  it("as left minus as found: what is common cancels, what is each point's own adds up", () => {
    expect(difference.difference).toBeCloseTo(left.error.value - found.error.value, 12);
    const own = variance(found, false) + variance(left, false);
    expect(difference.u ** 2 / own).toBeCloseTo(1, 3);
    expect(difference.u).toBeLessThan(found.budget.u / 3);
    expect(difference.U / difference.u).toBeCloseTo(difference.k, 12);
    expect(difference.coverage).toBe(0.9545);
  });

  it("obeys u² = u_A² + u_B² − 2·cov", () => {
    const wanted = found.budget.u ** 2 + left.budget.u ** 2 - 2 * covarianceBetween(found, left);
    expect(difference.u ** 2 / wanted).toBeCloseTo(1, 9);
  });

  it("of unrelated points is that of independent ones", () => {
    const strange = JSON.parse(JSON.stringify(left).replaceAll('"shared":"', '"shared":"other ')) as MeasuredPoint;
    expect(covarianceBetween(found, strange)).toBe(0);
    expect(unwrap(differenceBetween(found, strange)).u).toBeCloseTo(Math.hypot(found.budget.u, left.budget.u), 9);
  });
});

it("readouts that add up within a point are one quantity towards other points too [C22, C37]", () => {
  // A thermistor's slope is negative, so one readout's common error adds up in the difference.
  const thermistor: JobInput["items"][number] = {
    ...resistor,
    sensor: { kind: "thermistor", equation: "steinhart-hart", a: 3.3e-3, b: 2.5e-4, c: 1e-7 },
    tolerance: { kelvin: 1 },
  };
  const run = new InventedRun(inventedJob({ items: [thermistor] })).begin().measure({ point: 0, noise: 0.003 });
  const measured = point(stored(evaluate(run.end())), 0, 0);
  const names = ["item.readout", "reference.readout"].map(
    (id) => measured.budget.lines.find((line) => line.id === id)!.shared,
  );
  expect(names[0]).toBe(names[1]);
  const own = variance(measured, false);
  expect(covarianceBetween(measured, measured) + own).toBeCloseTo(measured.budget.u ** 2, 9);
});
