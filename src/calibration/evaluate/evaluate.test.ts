import { describe, expect, it } from "vitest";
import type { RunEvent } from "../log/events.ts";
import { parseLog } from "../log/parse-log.ts";
import type { MeasuredPoint, PointResult, Result } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import {
  InventedRun,
  inventedJob,
  inventedKit,
  resistor,
  thermocouple,
  transmitter,
} from "./invented-run.test-support.ts";

const measured = (point: PointResult | undefined): MeasuredPoint => {
  if (point?.status !== "measured") throw new Error(`not measured: ${JSON.stringify(point)}`);
  return point;
};
const pointsOf = (result: Result, pass = 0): readonly PointResult[] => result.items[0]!.passes[pass]!.points;
const by = "demo technician";

describe("a result", () => {
  const run = (): RunEvent[] =>
    new InventedRun(inventedJob({ items: [thermocouple] }), { seed: 3 })
      .begin()
      .measure({ point: 0, noise: 0.004, errors: [0.3] })
      .measure({ point: 1, noise: 0.004, errors: [-0.6] })
      .end();

  it("is the same for the same log, also after the log and the result went through JSON [C2]", () => {
    const first = evaluate(run());
    expect(evaluate(run())).toEqual(first);
    expect(evaluate(parseLog(run().map((event) => JSON.stringify(event))))).toEqual(first);
    expect(JSON.parse(JSON.stringify(first))).toEqual(first);
  });

  it("says what the log says of the run [C2]", () => {
    const log = run();
    expect(evaluate(log)).toMatchObject({
      format: "dwellpoint-result/1",
      run: "demo-run",
      job: "demo-1",
      outcome: "completed",
      seed: 3,
      rehearsal: true,
      duration: log.at(-1)!.at,
      faults: [],
      warnings: [],
    });
    expect(evaluate(log.slice(0, -1)).outcome).toBe("open");
  });

  it("finds the errors that were put in [C4, C6, C7]", () => {
    const [zero, hundred] = pointsOf(evaluate(run())).map(measured);
    expect(zero!.error.value).toBeCloseTo(0.3, 2);
    expect(hundred!.error.value).toBeCloseTo(-0.6, 2);
    expect(hundred!.reference.value).toBeCloseTo(100, 2);
    expect(hundred!.indication.value - hundred!.reference.value).toBe(hundred!.error.value);
    expect(hundred!.readings).toBe(20);
    expect(hundred!.window).toEqual({ from: zero!.window.to + 600, to: zero!.window.to + 638 });
  });

  it("names the lines from which each figure came [C30]", () => {
    const log = run();
    const point = measured(pointsOf(evaluate(log))[1]);
    const kinds = (origin: readonly number[]): string[] =>
      origin.map((n) => {
        const event = log[n]!;
        return event.kind === "readings-taken" ? event.channel : event.kind;
      });
    expect(kinds(point.reference.origin)).toEqual(["reference"]);
    expect(kinds(point.signal.origin)).toEqual(["item-1"]);
    expect(kinds(point.indication.origin)).toEqual(["item-1", "junction"]);
    expect(kinds(point.error.origin)).toEqual(["point-settled", "reference", "item-1", "junction", "point-measured"]);
    for (const line of point.budget.lines) expect(line.origin.length).toBeGreaterThan(0);
    expect(kinds(point.budget.lines.find(({ id }) => id === "settling.remainder")!.origin)).toEqual(["point-settled"]);
    expect(point.reference.origin.every((n) => n > log.findIndex((event) => event.kind === "point-measured"))).toBe(
      true,
    );
  });

  it("refuses a log that is out of order [C1]", () => {
    expect(() => evaluate(run().slice(1))).toThrow(/expected run-opened first/);
    expect(() => evaluate([])).toThrow(/empty/);
  });
});

describe("published table values, read without noise", () => {
  // IEC 60751:2022, 138.51 Ω at 100 °C; IEC 60584-1:2013, type K 4.096 mV at 100 °C; a loop's line by its definition.
  const sensor = resistor.sensor as typeof inventedKit.reference.sensor;
  const standard = { ...inventedKit, reference: { ...inventedKit.reference, sensor } };
  it.each([
    [{ ...thermocouple, coldJunction: { kind: "ice-point" as const } }, "mV" as const, 4.096, 100, 0.02],
    [resistor, "Ω" as const, 138.51, 100, 0.02],
    [transmitter, "mA" as const, 12, 75, 1e-9],
  ])("$tag: $description [C6, C7]", (item, unit, signal, temperature, slack) => {
    const run = new InventedRun(inventedJob({ items: [item], kit: standard })).begin();
    const times = [600, 602, 604];
    run.readings("reference", "Ω", times, [138.51, 138.51, 138.51], 2);
    run.readings("item-1", unit, times, [signal, signal, signal], 3);
    run.add({ kind: "point-measured", pass: "as-found", point: 1, from: 600, to: 604, at: 604 });
    const point = measured(pointsOf(evaluate(run.end()))[1]);
    expect(Math.abs(point.indication.value - temperature)).toBeLessThanOrEqual(slack);
    expect(Math.abs(point.reference.value - 100)).toBeLessThan(0.02);
    expect(point.signal).toMatchObject({ value: signal, unit });
  });
});

describe("the window that counts [C3]", () => {
  const begun = () => new InventedRun(inventedJob()).begin();
  it("is the last one", () => {
    const run = begun()
      .measure({ point: 0, errors: [0.1] })
      .measure({ point: 0, errors: [0.2] });
    expect(measured(pointsOf(evaluate(run.events))[0]).error.value).toBeCloseTo(0.2, 3);
  });

  it("is set aside by a repetition, with its evidence, until the point is measured again", () => {
    const run = begun().measure({ point: 0, errors: [0.1] });
    const n = run.add({ kind: "point-repeated", pass: "as-found", point: 0, reason: "door was open", by });
    expect(pointsOf(evaluate(run.events))[0]).toEqual({
      status: "not-measured",
      point: 0,
      nominal: 0,
      reason: "To be repeated (door was open), but not measured again.",
      origin: [n],
    });
    run.measure({ point: 0, errors: [0.25], remainder: null });
    const again = measured(pointsOf(evaluate(run.events))[0]);
    expect(again.error.value).toBeCloseTo(0.25, 3);
    expect(again.budget.lines.find(({ id }) => id === "settling.remainder")!.source).toMatch(/no evidence/);
  });

  it("does not count when the point was skipped after it, and counts when it was measured after that", () => {
    const run = begun().measure({ point: 0 });
    run.add({ kind: "point-skipped", pass: "as-found", point: 0, reason: "no time", by });
    expect(pointsOf(evaluate(run.events))[0]).toMatchObject({ status: "skipped", reason: "no time (demo technician)" });
    expect(measured(pointsOf(evaluate(run.measure({ point: 0, errors: [0.3] }).events))[0]).error.value).toBeCloseTo(
      0.3,
      3,
    );
  });
});

describe("points without a window are listed [C29]", () => {
  it("while the run is open, and after it ended, with the reason", () => {
    const run = new InventedRun(
      inventedJob({ procedure: { ...inventedJob().procedure, passes: ["as-found", "as-left"] } }),
    )
      .begin()
      .measure({ point: 0 });
    expect(pointsOf(evaluate(run.events))[1]).toMatchObject({
      status: "not-measured",
      reason: "Not reached yet: the run is still open.",
    });
    run.add({ kind: "run-ended", outcome: "stopped", reason: "line was needed", by });
    const result = evaluate(run.events);
    expect(pointsOf(result)[1]).toMatchObject({
      status: "not-measured",
      reason: "Not reached before the run ended (stopped: line was needed).",
    });
    expect(result.items[0]!.passes.map(({ pass }) => pass)).toEqual(["as-found"]);
    expect(result.warnings).toContain("The pass as-left was planned, but not begun.");
  });

  it("also before anything was begun", () => {
    expect(pointsOf(evaluate(new InventedRun(inventedJob()).events)).map(({ status }) => status)).toEqual([
      "not-measured",
      "not-measured",
    ]);
  });
});

describe("kit out of calibration [C28]", () => {
  const log = (opened: string): RunEvent[] =>
    new InventedRun(inventedJob(), { opened }).begin().measure({ point: 0 }).measure({ point: 1 }).end();

  it("on its last day is still in", () => {
    expect(evaluate(log("2027-01-12T08:00:00Z"))).toMatchObject({ faults: [], warnings: [] });
  });

  it.each([
    [
      "2027-01-13T08:00:00Z",
      /The reference ref-7 was out of calibration: certificate DEMO-2231 holds from 2026-01-12 to 2027-01-12/,
    ],
    ["2026-01-20T08:00:00Z", /The readout readout-2 was out of calibration/],
  ])("on %s: numbers, but no statement, and the result says so", (opened, words) => {
    const result = evaluate(log(opened));
    expect(result.faults).toHaveLength(1);
    expect(result.faults[0]).toMatchObject({ code: "kit.out-of-calibration", origin: [0] });
    expect(result.faults[0]!.message).toMatch(words);
    expect(result.warnings[0]).toMatch(/^kit\.out-of-calibration: /);
    const point = measured(pointsOf(result)[0]);
    expect(point.conformity).toBeNull();
    expect(point.conformityNote).toMatch(words);
    expect(result.items[0]!.passes[0]!.decision).toBe("undecided");
  });

  it("grows the drift with the days since the calibration [C12]", () => {
    const drift = (opened: string): number =>
      measured(pointsOf(evaluate(log(opened)))[0]).budget.lines.find(({ id }) => id === "reference.drift")!.u;
    // 0.04 K a year, rectangular: half a year and a day less than a year.
    expect(drift("2026-07-12T08:00:00Z")).toBeCloseTo((0.04 * (181 / 365.2425)) / Math.sqrt(3), 12);
    expect(drift("2027-01-12T08:00:00Z")).toBeCloseTo((0.04 * (365 / 365.2425)) / Math.sqrt(3), 12);
  });
});

describe("what else a log holds", () => {
  it("adjustments add up [C32]", () => {
    const run = new InventedRun(inventedJob({ items: [transmitter] })).begin().measure({ point: 0 });
    expect(evaluate(run.events).items[0]!.adjustment).toBeNull();
    const first = run.add({ kind: "item-adjusted", item: "item-loop", zero: -0.3, span: 0.25, by });
    const second = run.add({ kind: "item-adjusted", item: "item-loop", zero: -0.25, span: 0.5, by });
    expect(evaluate(run.events).items[0]!.adjustment).toEqual({ zero: -0.55, span: 0.75, origin: [first, second] });
  });

  it("faults are passed on with their line", () => {
    const run = new InventedRun(inventedJob()).begin();
    const n = run.add({
      kind: "fault-seen",
      code: "instrument.timeout",
      message: "No answer within 3 s.",
      channel: "reference",
    });
    expect(evaluate(run.measure({ point: 0 }).events).faults).toEqual([
      { code: "instrument.timeout", message: "No answer within 3 s.", origin: [n] },
    ]);
  });

  it("a temperature met twice gives the difference, as information [C31]", () => {
    const procedure = {
      ...inventedJob().procedure,
      points: [{ temperature: 50 }, { temperature: 100 }, { temperature: 50 }],
    };
    const run = new InventedRun(inventedJob({ procedure }))
      .begin()
      .measure({ point: 0, errors: [0.1], noise: 0.003 })
      .measure({ point: 1 })
      .measure({ point: 2, errors: [0.16], noise: 0.003 });
    const pass = evaluate(run.end()).items[0]!.passes[0]!;
    expect(pass.repeats).toHaveLength(1);
    expect(pass.repeats![0]).toMatchObject({ nominal: 50, points: [0, 2], approach: [null, "falling"] });
    expect(pass.repeats![0]!.difference.value).toBeCloseTo(0.06, 2);
    // Reference, block and readout are the same both times: far less than the U of either error.
    expect(pass.repeats![0]!.U).toBeLessThan(measured(pass.points[0]).budget.U / 2);
    expect(pass.points.map((point) => measured(point).error.value)).not.toContain(0.13);
    expect(
      "repeats" in evaluate(new InventedRun(inventedJob()).begin().measure({ point: 0 }).end()).items[0]!.passes[0]!,
    ).toBe(false);
  });
});
