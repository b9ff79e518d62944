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

/** A point of which nothing counts but its lines. */
const made = (
  error: number,
  lines: readonly { id: string; u: number; sensitivity?: number; dof?: number; shared?: string }[],
): MeasuredPoint => {
  const base = point(twoPasses([resistor]), 0, 0);
  return {
    ...base,
    error: { ...base.error, value: error },
    budget: {
      ...base.budget,
      lines: lines.map(({ id, u, sensitivity = 1, dof, shared }) => ({
        ...base.budget.lines[0]!,
        id,
        u,
        sensitivity,
        degreesOfFreedom: dof ?? null,
        contribution: Math.abs(u * sensitivity),
        ...(shared === undefined ? { shared: undefined! } : { shared }),
      })),
    },
  };
};

describe("covariance and difference, worked by hand [C37, C38]", () => {
  const from = made(1, [
    { id: "a", u: 0.3, sensitivity: -1, shared: "x" },
    { id: "b", u: 0.1, sensitivity: -2, shared: "x" },
    { id: "c", u: 0.4, shared: "only here" },
    { id: "d", u: 0.3, dof: 4 },
  ]);
  const to = made(3, [
    { id: "a", u: 0.2, sensitivity: -1, shared: "x" },
    { id: "d", u: 0.4, sensitivity: -1, dof: 8 },
  ]);

  it("adds what a name has in a point before it multiplies", () => {
    // x: −0.3 − 0.2 = −0.5 on one side, −0.2 on the other.
    expect(covarianceBetween(from, to)).toBeCloseTo(0.1, 12);
    expect(covarianceBetween(to, from)).toBeCloseTo(0.1, 12);
  });

  it("leaves of what is common what the sensitivities leave, and adds up the rest", () => {
    // 0.3 of x, 0.4 that the other does not share, 0.3 and 0.4 of their own: u² = 0.09 + 0.16 + 0.09 + 0.16.
    const { difference, u, degreesOfFreedom } = unwrap(differenceBetween(from, to));
    expect(difference).toBe(2);
    expect(u).toBeCloseTo(Math.sqrt(0.5), 12);
    // Welch and Satterthwaite (GUM, G.4.1): 0.5² / (0.3⁴/4 + 0.4⁴/8).
    expect(degreesOfFreedom).toBeCloseTo(0.25 / (0.0081 / 4 + 0.0256 / 8), 9);
    const endless = made(3, [{ id: "a", u: 0.2 }]);
    expect(unwrap(differenceBetween(endless, endless)).degreesOfFreedom).toBeNull();
  });

  it("of numbers that cannot be combined is a failure", () => {
    expect(differenceBetween(from, made(1, [{ id: "a", u: Number.NaN }]))).toMatchObject({
      ok: false,
      fault: { code: "uncertainty.invalid" },
    });
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
