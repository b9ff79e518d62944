import { describe, expect, it } from "vitest";
import type { JobInput } from "../job/job.ts";
import { readoutSchema, sourceSchema } from "../job/kit.ts";
import { evaluate } from "./evaluate.ts";
import { inventedJob, inventedKit, InventedRun, resistor, transmitter } from "./invented-run.test-support.ts";

const two: JobInput["items"] = [
  transmitter,
  { ...transmitter, id: "item-2", tag: "TT-9", serial: "demo-9", channel: "item-2" },
];
const { procedure } = inventedJob();
const by = "demo technician";

describe("what a log says besides its readings", () => {
  it("adjustments of one item add up, and are not those of another [C32]", () => {
    const run = new InventedRun(inventedJob({ items: two })).begin().measure({ point: 0 });
    const first = run.add({ kind: "item-adjusted", item: "item-loop", zero: -0.5, span: 0.25, by });
    run.add({ kind: "item-adjusted", item: "item-2", zero: 7, span: 7, by });
    const second = run.add({ kind: "item-adjusted", item: "item-loop", zero: 0.125, span: 0.5, by });
    const [one, other] = evaluate(run.events).items;
    expect(one!.adjustment).toEqual({ zero: -0.375, span: 0.75, origin: [first, second] });
    expect(other!.adjustment).toMatchObject({ zero: 7, span: 7 });
    expect(evaluate(new InventedRun(inventedJob()).begin().events).items[0]!.adjustment).toBeNull();
  });

  it("coefficients were loaded for one item, the last ones hold", () => {
    const items: JobInput["items"] = [resistor, { ...resistor, id: "item-2", tag: "TT-9", channel: "item-2" }];
    const run = new InventedRun(inventedJob({ items })).begin();
    const sensor = run.job.items[0]!.sensor;
    run.add({ kind: "coefficients-loaded", item: "item-pt", sensor, reason: "fitted", by });
    const n = run.add({ kind: "coefficients-loaded", item: "item-pt", sensor, reason: "fitted again", by });
    run.add({ kind: "coefficients-loaded", item: "item-2", sensor, reason: "other", by });
    const [one, other] = evaluate(run.events).items;
    expect(one!.loaded).toEqual({ sensor, reason: "fitted again (demo technician)", origin: [n] });
    expect(other!.loaded!.reason).toBe("other (demo technician)");
    expect(evaluate(new InventedRun(inventedJob()).begin().events).items[0]).not.toHaveProperty("loaded");
  });

  it("every kind of kit may be replaced, each with its reason [C55]", () => {
    const run = new InventedRun(inventedJob()).begin().measure({ point: 0 });
    const { readout, source } = inventedKit;
    run.add({
      kind: "kit-replaced",
      readout: readoutSchema.parse({ ...readout, serial: "r2" }),
      earlier: "keep",
      reason: "broke",
      by,
    });
    run.add({
      kind: "kit-replaced",
      source: sourceSchema.parse({ ...source, serial: "s2" }),
      earlier: "flag",
      reason: "cold",
      by,
    });
    const result = evaluate(run.events);
    expect(result.kitChanges).toMatchObject([
      { role: "readout", from: { id: "readout-2", serial: "demo-readout" }, to: { serial: "r2" }, earlier: "keep" },
      { role: "source", from: { id: "block-1", serial: "demo-block" }, to: { serial: "s2" }, earlier: "flag" },
    ]);
    expect(result.warnings).toEqual([
      "The readout demo-readout was replaced by r2 in the middle of the run: broke (demo technician).",
      "The source demo-block was replaced by s2 in the middle of the run: cold (demo technician).",
    ]);
    // Measured in the source that is not to be trusted.
    expect(result.items[0]!.passes[0]!.points[0]).toMatchObject({ status: "flagged", code: "kit.suspect" });
    expect(evaluate(new InventedRun(inventedJob()).begin().events)).not.toHaveProperty("kitChanges");
  });

  it("kit that is replaced before a point is measured does not flag it [C55]", () => {
    const run = new InventedRun(inventedJob()).begin();
    const { readout } = inventedKit;
    run.add({
      kind: "kit-replaced",
      readout: readoutSchema.parse({ ...readout, serial: "r2" }),
      earlier: "flag",
      reason: "broke",
      by,
    });
    run.measure({ point: 0 });
    run.add({
      kind: "kit-replaced",
      readout: readoutSchema.parse({ ...readout, serial: "r3" }),
      earlier: "keep",
      reason: "due",
      by,
    });
    expect(evaluate(run.events).items[0]!.passes[0]!.points[0]!.status).toBe("measured");
  });

  it("a pass that was planned and not begun is named only where the run was not completed [C29]", () => {
    const passes = ["as-found" as const, "as-left" as const];
    const of = (outcome?: "completed" | "stopped") => {
      const run = new InventedRun(inventedJob({ procedure: { ...procedure, passes } })).begin();
      run.measure({ point: 0 }).measure({ point: 1 });
      return evaluate(outcome === undefined ? run.events : run.end(outcome)).warnings;
    };
    expect(of()).toEqual([]);
    expect(of("completed")).toEqual([]);
    expect(of("stopped")).toEqual(["The pass as-left was planned, but not begun."]);
  });

  it("says why a point has no window [C29]", () => {
    const reasonOf = (run: InventedRun) => {
      const point = evaluate(run.events).items[0]!.passes[0]!.points[0]!;
      return point.status === "measured" ? "measured" : `${point.status}: ${point.reason}`;
    };
    const fresh = () => new InventedRun(inventedJob()).begin();
    expect(reasonOf(fresh())).toBe("not-measured: Not reached yet: the run is still open.");
    const ended = fresh();
    ended.end("stopped");
    expect(reasonOf(ended)).toBe("not-measured: Not reached before the run ended (stopped).");
    const failed = fresh();
    failed.add({ kind: "run-ended", outcome: "failed", reason: "no heat", by });
    expect(reasonOf(failed)).toBe("not-measured: Not reached before the run ended (failed: no heat).");
    const skipped = fresh();
    skipped.add({ kind: "point-skipped", pass: "as-found", point: 0, reason: "too hot", by });
    expect(reasonOf(skipped)).toBe("skipped: too hot (demo technician)");
    expect(evaluate(skipped.events).items[0]!.passes[0]!.points[0]).toMatchObject({ origin: [2] });
    const repeated = fresh().measure({ point: 0 });
    repeated.add({ kind: "point-repeated", pass: "as-found", point: 0, reason: "spike", by });
    expect(reasonOf(repeated)).toBe("not-measured: To be repeated (spike), but not measured again.");
    repeated.add({ kind: "point-skipped", pass: "as-found", point: 0, reason: "late", by });
    expect(reasonOf(repeated)).toBe("skipped: late (demo technician)");
  });

  it("an added point says why it was added, and by whom [C56]", () => {
    const run = new InventedRun(inventedJob()).begin().measure({ point: 0 }).measure({ point: 1 });
    run.add({
      kind: "point-added",
      pass: "as-found",
      point: 2,
      temperature: 50,
      before: null,
      reason: "in use there",
      by,
    });
    const times = [5000, 5002, 5004];
    run.readings("reference", "Ω", times, [119.41, 119.41, 119.41]);
    run.readings("item-1", "Ω", times, [119.4, 119.4, 119.4]);
    run.add({ kind: "point-measured", pass: "as-found", point: 2, from: 5000, to: 5004, at: 5004 });
    const points = evaluate(run.events).items[0]!.passes[0]!.points;
    expect(points[2]).toMatchObject({ status: "measured", nominal: 50, added: "in use there (demo technician)" });
    expect(points[0]).not.toHaveProperty("added");
    expect(points[0]).not.toHaveProperty("approach");
  });

  it("the same temperature met twice is reported twice, with the difference in the order of measuring [C31]", () => {
    const points = [0, 50, 0].map((temperature) => ({ temperature }));
    const run = new InventedRun(inventedJob({ procedure: { ...procedure, points } })).begin();
    // The later point of the list is measured first.
    run
      .measure({ point: 2, errors: [0.05] })
      .measure({ point: 1 })
      .measure({ point: 0, errors: [0.25] });
    const [pass] = evaluate(run.events).items[0]!.passes;
    expect(pass!.repeats).toHaveLength(1);
    const [repeat] = pass!.repeats!;
    expect(repeat).toMatchObject({ nominal: 0, points: [2, 0], difference: { unit: "K" } });
    expect(repeat!.difference.value).toBeCloseTo(0.2, 3);
    expect(repeat!.difference.origin).toEqual(repeat!.difference.origin.toSorted((a, b) => a - b));
    expect(new Set(repeat!.difference.origin).size).toBe(repeat!.difference.origin.length);
    // Only what is each point's own: digits, movement, settling, scatter; all rectangular but the last.
    const own = pass!.points.flatMap((point) =>
      point.status === "measured" && point.nominal === 0
        ? point.budget.lines.filter(({ id }) =>
            [
              "reference.resolution",
              "source.stability",
              "settling.remainder",
              "item.repeatability",
              "item.resolution",
            ].includes(id),
          )
        : [],
    );
    expect(own).toHaveLength(10);
    expect(repeat!.U / Math.hypot(...own.map(({ contribution }) => contribution))).toBeCloseTo(2, 1);
    expect(evaluate(new InventedRun(inventedJob()).begin().events).items[0]!.passes[0]).not.toHaveProperty("repeats");
  });
});
