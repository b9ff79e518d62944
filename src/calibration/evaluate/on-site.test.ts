import { describe, expect, it } from "vitest";
import { signalOf } from "#thermometry";
import { unwrap } from "#fault";
import type { JobInput } from "../job/job.ts";
import { referenceSchema } from "../job/kit.ts";
import { parseLog } from "../log/parse-log.ts";
import type { MeasuredPoint } from "../result/result.ts";
import { differenceBetween } from "./between-points.ts";
import { evaluate } from "./evaluate.ts";
import { explain } from "./explain.ts";
import { inventedJob, InventedRun, resistor } from "./invented-run.test-support.ts";

const procedure = inventedJob().procedure;
const jobWith = (change: Partial<JobInput["procedure"]>, items: JobInput["items"] = [resistor]) =>
  inventedJob({ items, procedure: { ...procedure, ...change } });
const pointsOf = (run: InventedRun, pass = 0) => evaluate(run.events).items[0]!.passes[pass]!.points as MeasuredPoint[];
const line = (point: MeasuredPoint, id: string) => point.budget.lines.find((each) => each.id === id);

describe("going both ways [C51]", () => {
  const temperatures = [0, 50, 100, 50, 0].map((temperature) => ({ temperature }));
  const bothWays = (change: Partial<JobInput["items"][number]> = {}) => {
    const run = new InventedRun(jobWith({ points: temperatures }, [{ ...resistor, ...change }])).begin();
    [0.02, 0.1, 0.05, 0.28, 0.03].forEach((error, point) => run.measure({ point, errors: [error] }));
    return run;
  };

  it("gives half the difference either way at both points, u = |difference|/(2·√3) [C51]", () => {
    const points = pointsOf(bothWays());
    // Rising 0.10 K, falling 0.28 K: u = 0.18/(2·√3) = 0.05196 K (DKD-R 5-1, from memory).
    for (const point of [points[1]!, points[3]!])
      expect(line(point, "item.hysteresis")!.contribution).toBeCloseTo(0.18 / (2 * Math.sqrt(3)), 4);
    expect(points.map(({ approach }) => approach)).toEqual([undefined, "rising", undefined, "falling", "falling"]);
    // The turning point and the ends: the loop closes there.
    expect([0, 2, 4].map((point) => line(points[point]!, "item.hysteresis"))).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
  });

  it("stands in the result with what does not cancel, and in the explanation with its place in the log", () => {
    const run = bothWays();
    const [pass] = evaluate(run.events).items[0]!.passes;
    expect(pass!.hysteresis).toHaveLength(1);
    const [seen] = pass!.hysteresis!;
    expect(seen).toMatchObject({ nominal: 50, rising: 1, falling: 3, difference: { value: expect.closeTo(0.18, 3) } });
    expect(seen!.U).toBeGreaterThan(0);
    expect(seen!.U).toBeLessThan((pass!.points[1] as MeasuredPoint).budget.U);
    const explained = unwrap(explain(run.events, { item: "item-pt", pass: "as-found", point: 3 }));
    expect(explained.result.budget.lines.find(({ id }) => id === "item.hysteresis")!.source).toMatch(
      /falling less rising 0\.18/,
    );
  });

  it("never makes less of it than what is declared for the item", () => {
    const points = pointsOf(bothWays({ contributions: { hysteresis: 0.2 } }));
    expect(line(points[3]!, "item.hysteresis")!.contribution).toBeCloseTo(0.2 / Math.sqrt(3), 9);
    expect(line(points[3]!, "item.hysteresis")!.source).toMatch(/declared/);
    expect(line(points[3]!, "item.hysteresis")!.origin).toEqual([0]);
    // Where nothing was seen, what is declared stands; where more was seen, that does, with both windows.
    expect(line(points[2]!, "item.hysteresis")!.contribution).toBeCloseTo(0.2 / Math.sqrt(3), 9);
    const seen = line(pointsOf(bothWays({ contributions: { hysteresis: 0.05 } }))[3]!, "item.hysteresis")!;
    expect(seen.contribution).toBeCloseTo(0.18 / (2 * Math.sqrt(3)), 4);
    expect(seen.origin).toHaveLength(2);
  });

  it("is claimed of nothing that was reached twice from the same side", () => {
    const run = new InventedRun(jobWith({ points: [0, 50, 0, 50].map((temperature) => ({ temperature })) })).begin();
    [0, 0.1, 0, 0.3].forEach((error, point) => run.measure({ point, errors: [error] }));
    const [pass] = evaluate(run.events).items[0]!.passes;
    expect(pass!.repeats!.map(({ nominal }) => nominal)).toContain(50);
    expect(pass!.hysteresis?.map(({ nominal }) => nominal) ?? []).not.toContain(50);
  });
});

describe("the closing check of the reference [C52]", () => {
  const plan = { kind: "ice-point" as const, halfWidth: 0.01, limit: 0.1 };
  const checked = (off: number, change: (run: InventedRun) => void = () => undefined) => {
    const run = new InventedRun(jobWith({ closingCheck: plan })).begin();
    run.measure({ point: 0 }).measure({ point: 1, errors: [0.1] });
    change(run);
    run.add({ kind: "check-begun", temperature: 0, by: "engine" });
    const times = Array.from({ length: 20 }, (_, index) => run.at + 100 + 2 * index);
    const { sensor } = run.job.kit.reference;
    run.readings(
      "reference",
      "Ω",
      times,
      times.map(() => unwrap(signalOf(sensor, off)).signal),
    );
    run.add({ kind: "check-measured", from: times[0]!, to: times.at(-1)!, by: "engine" });
    return run;
  };

  it("that finds nothing adds nothing; one that finds something adds limits of what the check cannot explain", () => {
    const none = pointsOf(checked(0));
    expect(line(none[0]!, "reference.check")!.contribution).toBeLessThan(1e-3);
    const run = checked(0.06);
    const { closingCheck } = evaluate(run.events);
    expect(closingCheck).toMatchObject({
      status: "holds",
      differences: [{ difference: { value: expect.closeTo(0.06, 3) } }],
    });
    const { u } = closingCheck!.differences[0]!;
    // Ice point ±0.01 K and the readout's (0.003 % of 100 Ω + 0.001 Ω) at 0.391 Ω/K, both rectangular: from the kit entry.
    expect(u).toBeGreaterThan(0.01 / Math.sqrt(3));
    for (const point of pointsOf(run)) {
      const stated = ["calibration", "drift", "interpolation", "self-heating"].map(
        (what) => line(point, `reference.${what}`)!.contribution,
      );
      const explained = Math.hypot(u, ...stated);
      expect(explained).toBeGreaterThan(0.015);
      expect(line(point, "reference.check")!.contribution).toBeCloseTo(
        Math.sqrt(0.06 ** 2 - explained ** 2) / Math.sqrt(3),
        3,
      );
    }
    // A difference that the stated drift and calibration explain adds nothing.
    expect(line(pointsOf(checked(0.015))[0]!, "reference.check")!.contribution).toBe(0);
    expect(line(pointsOf(run)[0]!, "reference.check")!.shared).toBeUndefined();
  });

  it("beyond the limit leaves figures without a statement of conformity, whatever is left out later", () => {
    const run = checked(0.14);
    run.add({ kind: "check-begun", temperature: 0, by: "engine" });
    run.add({ kind: "check-skipped", reason: "no time", by: "demo technician" });
    const result = evaluate(run.end());
    expect(result.closingCheck).toMatchObject({ status: "failed", statement: expect.stringMatching(/suspect/) });
    expect(result.warnings).toContain(result.closingCheck!.statement);
    for (const point of result.items[0]!.passes[0]!.points)
      expect(point).toMatchObject({ status: "measured", conformity: null });
  });

  it("is of the reference in use: of one that was replaced before, it says nothing", () => {
    const run = checked(0.14, (before) => {
      const { reference } = before.job.kit;
      const other = referenceSchema.parse({ ...reference, serial: "demo-other" });
      before.add({
        kind: "kit-replaced",
        reference: other,
        earlier: "keep",
        reason: "weak cable",
        by: "demo technician",
      });
    });
    const [first] = pointsOf(run);
    expect(line(first!, "reference.check")).toBeUndefined();
    expect(first!.conformity).not.toBeNull();
    expect(evaluate(run.events).closingCheck).toMatchObject({ status: "failed", reference: { serial: "demo-other" } });
  });

  it("that was left out is said with the reason", () => {
    const run = new InventedRun(jobWith({ closingCheck: plan })).begin().measure({ point: 0 }).measure({ point: 1 });
    run.add({ kind: "check-skipped", reason: "no ice", by: "demo technician" });
    expect(evaluate(run.end()).closingCheck).toMatchObject({
      status: "not-done",
      statement: expect.stringMatching(/no ice/),
    });
  });
});

describe("the first point once more [C53]", () => {
  const repeated = (last: number, items: JobInput["items"] = [resistor]) => {
    const run = new InventedRun(jobWith({ closingCheck: { kind: "first-point", limit: 0.05 } }, items)).begin();
    const same = (error: number) => items.map(() => error);
    return run
      .measure({ point: 0, errors: same(0.02) })
      .measure({ point: 1 })
      .measure({ point: 2, temperature: 0, errors: same(last) });
  };

  it("differs by what does not cancel, as the difference of two errors has it (GUM, 5.2.2)", () => {
    const [pass] = evaluate(repeated(0.04).events).items[0]!.passes;
    const [first, , last] = pass!.points as MeasuredPoint[];
    const { U } = unwrap(differenceBetween(first!, last!));
    expect(pass!.check).toMatchObject({ status: "holds", differences: [{ item: "item-pt", U }] });
    expect(U).toBeLessThan(first!.budget.U);
  });

  it("beyond the limit leaves the pass undecided, and says whose fault it may be", () => {
    const [pass] = evaluate(repeated(0.12).events).items[0]!.passes;
    expect(pass).toMatchObject({
      decision: "undecided",
      check: { status: "failed", statement: expect.stringMatching(/cannot be told apart/) },
    });
    const two = [resistor, { ...resistor, id: "item-2", tag: "TT-9", serial: "demo-9", channel: "item-2" }];
    const both = evaluate(repeated(0.12, two).events).items[1]!.passes[0]!;
    expect(both.check!.statement).toMatch(/All items moved the same way/);
  });
});

describe("kit that was replaced [C55]", () => {
  it("flags what it had measured where that is asked for, and only that", () => {
    const run = new InventedRun(jobWith({ points: [0, 50, 100].map((temperature) => ({ temperature })) })).begin();
    const { reference } = run.job.kit;
    const named = (serial: string) => referenceSchema.parse({ ...reference, serial });
    run.measure({ point: 0 });
    run.add({ kind: "kit-replaced", reference: named("second"), earlier: "keep", reason: "due soon", by: "demo" });
    run.measure({ point: 1 });
    run.add({ kind: "kit-replaced", reference: named("third"), earlier: "flag", reason: "fell", by: "demo" });
    run.measure({ point: 2 });
    const result = evaluate(parseLog(run.end().map((event) => JSON.stringify(event))));
    expect(result.items[0]!.passes[0]!.points.map(({ status }) => status)).toEqual(["measured", "flagged", "measured"]);
    expect(result.kitChanges!.map(({ from, to }) => `${from.serial} ${to.serial}`)).toEqual([
      "demo-ref second",
      "second third",
    ]);
  });
});

describe("points and windows of their own [C56]", () => {
  it("added points come after the procedure's, and a pass is not begun by planning one for it", () => {
    const run = new InventedRun(jobWith({ passes: ["as-found", "as-left"] }))
      .begin()
      .measure({ point: 0 })
      .measure({ point: 1 });
    for (const pass of ["as-found", "as-left"] as const)
      run.add({
        kind: "point-added",
        pass,
        point: 2,
        temperature: 50,
        before: null,
        reason: "in use there",
        by: "demo",
      });
    const { passes } = evaluate(run.events).items[0]!;
    expect(passes.map(({ pass }) => pass)).toEqual(["as-found"]);
    expect(passes[0]!.points[2]).toMatchObject({ status: "not-measured", nominal: 50 });
  });

  it("an item's window counts for it alone, and is not taken away by skipping the point for the others", () => {
    const two = [resistor, { ...resistor, id: "item-2", tag: "TT-9", serial: "demo-9", channel: "item-2" }];
    const run = new InventedRun(jobWith({ items: "each" }, two)).begin().measure({ point: 0, errors: [0.1, 0.2] });
    const place = run.events.findIndex((event) => event.kind === "point-measured");
    const events = run.events.map((event, index) => (index === place ? { ...event, item: "item-pt" } : event));
    events.push({
      kind: "point-skipped",
      n: events.length,
      at: run.at,
      pass: "as-found",
      point: 0,
      reason: "slow",
      by: "demo",
    });
    const statuses = evaluate(events as typeof run.events).items.map(({ passes }) => passes[0]!.points[0]!.status);
    expect(statuses).toEqual(["measured", "skipped"]);
  });
});

describe("new coefficients [C54]", () => {
  it("hold from the line on which they were loaded; as found stays what it was", () => {
    const adjustment = {
      kind: "new-coefficients",
      model: "callendar-van-dusen",
      adjustAbove: 0.1,
      authorisedBy: "demo",
    } as const;
    const run = new InventedRun(jobWith({ passes: ["as-found", "as-left"], adjustment })).begin();
    run.measure({ point: 0, errors: [0.3] }).measure({ point: 1, errors: [0.3] });
    const before = pointsOf(run).map(({ error }) => error.value);
    const sensor = {
      kind: "platinum",
      equation: "callendar-van-dusen",
      r0: 100.117,
      a: 3.9083e-3,
      b: -5.775e-7,
      c: -4.183e-12,
    } as const;
    run.add({ kind: "coefficients-loaded", item: "item-pt", sensor, reason: "fitted", by: "demo" });
    run
      .begin("as-left")
      .measure({ pass: "as-left", point: 0, errors: [0.3] })
      .measure({ pass: "as-left", point: 1, errors: [0.3] });
    expect(pointsOf(run).map(({ error }) => error.value)).toEqual(before);
    // 0.3 K at 0.3908 Ω/K (IEC 60751, slope at 0 °C) is 0.117 Ω: the new R0 takes it away.
    expect(Math.abs(pointsOf(run, 1)[0]!.error.value)).toBeLessThan(0.002);
    expect(evaluate(run.events).items[0]!.loaded).toMatchObject({ sensor });
  });
});
