import { describe, expect, it } from "vitest";
import { signalOf } from "#thermometry";
import type { JobInput } from "../job/job.ts";
import type { PointResult } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { InventedRun, inventedJob, resistor, thermocouple, transmitter } from "./invented-run.test-support.ts";

type Rule = JobInput["procedure"]["decision"];
const { procedure } = inventedJob();
const judged = (
  errors: readonly [number, number],
  { rule = { kind: "simple" }, item = transmitter }: { rule?: Rule; item?: JobInput["items"][number] } = {},
) => {
  const run = new InventedRun(inventedJob({ items: [item], procedure: { ...procedure, decision: rule } })).begin();
  run.measure({ point: 0, errors: [errors[0]] }).measure({ point: 1, errors: [errors[1]] });
  return evaluate(run.end()).items[0]!.passes[0]!;
};
const conformityOf = (point: PointResult | undefined) => {
  if (point?.status !== "measured") throw new Error(JSON.stringify(point));
  return point;
};

describe("conformity of a point [C26]", () => {
  it("by simple acceptance: within ±0.5 K or not, with its risk", () => {
    const [inside, beyond] = judged([0.45, -0.55]).points.map(conformityOf);
    expect(inside!.conformity).toMatchObject({
      tolerance: { lower: -0.5, upper: 0.5 },
      acceptance: { lower: -0.5, upper: 0.5 },
      decision: "pass",
    });
    expect(inside!.conformity!.specificRisk).toBeCloseTo(1 - inside!.conformity!.conformanceProbability, 12);
    expect(inside!.conformity!.specificRisk!).toBeGreaterThan(0.01);
    expect(beyond!.conformity).toMatchObject({ decision: "fail" });
    expect(beyond!.conformity!.specificRisk).toBe(beyond!.conformity!.conformanceProbability);
    expect([inside!.conformityNote, beyond!.conformityNote]).toEqual([null, null]);
  });

  it("with a guard band of r·U: the limits move in by it", () => {
    const point = conformityOf(judged([0.45, 0.1], { rule: { kind: "guard-band", factor: 1 } }).points[0]);
    expect(point.conformity!.acceptance!.upper).toBeCloseTo(0.5 - point.budget.U, 12);
    expect(point.conformity!.acceptance!.lower).toBeCloseTo(-0.5 + point.budget.U, 12);
    expect(point.conformity!.decision).toBe("fail");
    const half = conformityOf(judged([0.42, 0.1], { rule: { kind: "guard-band", factor: 0.5 } }).points[0]);
    expect(half.conformity!.acceptance!.upper).toBeCloseTo(0.5 - half.budget.U / 2, 12);
    expect(half.conformity!.decision).toBe("pass");
  });

  it("is undecided, never failed, where U leaves no room, and says why", () => {
    const point = conformityOf(
      judged([5, 5], { rule: { kind: "guard-band", factor: 1 }, item: { ...transmitter, tolerance: { kelvin: 0.05 } } })
        .points[0],
    );
    expect(point.conformity).toMatchObject({ decision: "undecided", acceptance: null, specificRisk: null });
    expect(point.conformityNote).toMatch(/guard bands leave no room/);
  });

  it("is not stated where the tolerance is not defined; the numbers stay", () => {
    const pass = judged([0.1, 0.1], { item: { ...transmitter, tolerance: { percentOfReading: 1 } } });
    const [atZero, atHundred] = pass.points.map(conformityOf);
    expect(atZero!.conformity).toBeNull();
    expect(atZero!.conformityNote).toMatch(/leaves no room/);
    expect(atZero!.error.value).toBeCloseTo(0.1, 2);
    expect(atHundred!.conformity!.decision).toBe("pass");
    expect(pass.decision).toBe("undecided");
  });

  it("by a stated specific risk: accepted as far out as the risk allows, which is the limit there", () => {
    const rule: Rule = { kind: "specific-risk", limit: 0.02 };
    const [first] = judged([0.1, 0.1], { rule }).points.map(conformityOf);
    const upper = first!.conformity!.acceptance!.upper;
    expect(first!.conformity!.decision).toBe("pass");
    // z(0.98) = 2.054 (computed from the normal distribution), the tolerance being wide.
    expect((0.5 - upper) / first!.budget.u).toBeCloseTo(2.054, 2);
    const [at, beyond] = judged([upper - 0.002, upper + 0.002], { rule }).points.map(conformityOf);
    expect([at!.conformity!.decision, beyond!.conformity!.decision]).toEqual(["pass", "fail"]);
    expect(at!.conformity!.specificRisk!).toBeLessThanOrEqual(0.02);
    const narrow = conformityOf(
      judged([0, 0], { rule, item: { ...transmitter, tolerance: { kelvin: 0.05 } } }).points[1],
    );
    expect(narrow.conformity!.decision).toBe("undecided");
    expect(narrow.conformityNote).toMatch(/the risk of a wrong pass exceeds 2 % even in the middle/);
  });

  it("by the non-binary statement, with w = U", () => {
    const rule: Rule = { kind: "g8-non-binary" };
    const U = conformityOf(judged([0, 0], { rule }).points[0]).budget.U;
    const decisions = [0.5 - 1.2 * U, 0.5 - 0.5 * U, 0.5 + 0.5 * U, 0.5 + 1.2 * U].map(
      (error) => conformityOf(judged([error, 0], { rule }).points[0]).conformity!.decision,
    );
    expect(decisions).toEqual(["pass", "conditional-pass", "conditional-fail", "fail"]);
  });

  it("takes the tolerance at the nominal temperature, not where the block happened to stand", () => {
    const run = new InventedRun(inventedJob({ items: [{ ...transmitter, tolerance: { percentOfReading: 1 } }] }))
      .begin()
      .measure({ point: 1, temperature: 99.2 });
    const point = conformityOf(evaluate(run.end()).items[0]!.passes[0]!.points[1]);
    expect(point.conformity!.tolerance).toEqual({ lower: -1, upper: 1 });
  });
});

describe("decision of a pass [C27]", () => {
  it.each<[string, [number, number], string]>([
    ["all inside", [0.1, 0.2], "pass"],
    ["one outside", [0.1, 0.9], "fail"],
  ])("%s", (_, errors, decision) => {
    expect(judged(errors).decision).toBe(decision);
  });

  it("with conditional statements lies between pass, undecided and fail", () => {
    const rule: Rule = { kind: "g8-non-binary" };
    const U = conformityOf(judged([0, 0], { rule }).points[0]).budget.U;
    const [conditionalPass, conditionalFail] = [0.5 - 0.5 * U, 0.5 + 0.5 * U];
    expect(judged([0, conditionalPass], { rule }).decision).toBe("conditional-pass");
    expect(judged([conditionalPass, conditionalFail], { rule }).decision).toBe("conditional-fail");
    expect(judged([conditionalFail, 3], { rule }).decision).toBe("fail");
    const run = new InventedRun(
      inventedJob({ items: [transmitter], procedure: { ...procedure, decision: rule } }),
    ).begin();
    run.measure({ point: 0, errors: [conditionalPass] });
    expect(evaluate(run.events).items[0]!.passes[0]!.decision).toBe("undecided");
    run.measure({ point: 0, errors: [conditionalFail] });
    expect(evaluate(run.events).items[0]!.passes[0]!.decision).toBe("conditional-fail");
  });

  it("is open while a point has no decision, failed once one failed, and null without any point", () => {
    const run = new InventedRun(inventedJob({ items: [transmitter] })).begin();
    const decision = () => evaluate(run.events).items[0]!.passes[0]!.decision;
    expect(decision()).toBeNull();
    run.measure({ point: 0, errors: [0.1] });
    expect(decision()).toBe("undecided");
    run.add({ kind: "point-skipped", pass: "as-found", point: 1, reason: "no time", by: "demo technician" });
    expect(decision()).toBe("undecided");
    run.measure({ point: 0, errors: [0.8] });
    expect(decision()).toBe("fail");
  });
});

describe("faults of a signal [C8]", () => {
  const fault = { kind: "fault-seen", code: "signal.open-circuit", message: "Item channel is open." } as const;
  const status = (run: InventedRun) => evaluate(run.events).items[0]!.passes[0]!.points[0]!;

  it("after the window, at this point, flag it", () => {
    const run = new InventedRun(inventedJob()).begin().measure({ point: 0 });
    const n = run.add({ ...fault, pass: "as-found", point: 0, item: "item-pt" });
    expect(status(run)).toEqual({
      status: "flagged",
      point: 0,
      nominal: 0,
      code: "signal.open-circuit",
      reason: "Item channel is open.",
      origin: [n],
    });
  });

  it("within the window flag it by their channel, also without a point", () => {
    const run = new InventedRun(inventedJob()).begin().measure({ point: 0 });
    const place = run.events.findIndex((event) => event.kind === "point-measured");
    const window = run.events[place]!;
    const seen = (channel: string) => {
      const events = run.events.toSpliced(place, 0, { ...fault, channel, n: 0, at: window.at });
      return evaluate(events.map((event, n) => ({ ...event, n })) as typeof run.events).items[0]!.passes[0]!.points[0]!
        .status;
    };
    expect([seen("item-1"), seen("reference"), seen("source")]).toEqual(["flagged", "flagged", "measured"]);
  });

  it("on the channel of a reference junction concern the thermocouple that uses it alone", () => {
    const seenBy = (item: JobInput["items"][number], channel: string) => {
      const run = new InventedRun(inventedJob({ items: [item] })).begin().measure({ point: 0 });
      run.add({ ...fault, pass: "as-found", point: 0, channel });
      return status(run).status;
    };
    expect(seenBy(thermocouple, "junction")).toBe("flagged");
    expect(seenBy(resistor, "junction")).toBe("measured");
    expect(seenBy({ ...thermocouple, coldJunction: { kind: "ice-point" } }, "junction")).toBe("measured");
    expect(seenBy(thermocouple, "source")).toBe("measured");
  });

  it("that name neither item nor channel concern everything at their point", () => {
    const run = new InventedRun(inventedJob()).begin().measure({ point: 0 });
    run.add({ ...fault, code: "loop.failure-signal", pass: "as-found", point: 0 });
    expect(status(run)).toMatchObject({ status: "flagged", code: "loop.failure-signal" });
  });

  it("before the window, of another item, or not of a signal, leave it alone", () => {
    const early = new InventedRun(inventedJob()).begin();
    early.add({ ...fault, pass: "as-found", point: 0 });
    expect(status(early.measure({ point: 0 })).status).toBe("measured");
    const other = new InventedRun(inventedJob()).begin().measure({ point: 0 });
    other.add({ ...fault, pass: "as-found", point: 0, item: "another" });
    other.add({ ...fault, code: "instrument.timeout", pass: "as-found", point: 0 });
    expect(status(other).status).toBe("measured");
  });
});

describe("a reversed thermocouple [C9]", () => {
  const reversed = (nominal: number) => {
    const run = new InventedRun(
      inventedJob({
        items: [{ ...thermocouple, coldJunction: { kind: "ice-point" } }],
        procedure: { ...procedure, points: [{ temperature: nominal }] },
      }),
    ).begin();
    const times = [600, 602, 604];
    const emf = signalOf({ kind: "thermocouple", type: "K" }, nominal);
    const resistance = signalOf(inventedJob().kit.reference.sensor, nominal);
    if (!emf.ok || !resistance.ok) throw new Error("no signal");
    run.readings(
      "reference",
      "Ω",
      times,
      times.map(() => resistance.value.signal),
    );
    run.readings(
      "item-1",
      "mV",
      times,
      times.map(() => -emf.value.signal),
    );
    run.add({ kind: "point-measured", pass: "as-found", point: 0, from: 600, to: 604, at: 604 });
    return evaluate(run.events).items[0]!.passes[0]!.points[0]!;
  };

  it("is called so, not reported as an error of two hundred kelvin", () => {
    expect(reversed(100)).toMatchObject({
      status: "flagged",
      code: "signal.reversed",
      reason: expect.stringMatching(/wires are exchanged/),
    });
  });

  it("is known by its error, not by what the two add up to", () => {
    // Turned, 20 °C reads as −20.6 °C or so: an error of −41 K.
    expect(reversed(20)).toMatchObject({ status: "flagged", code: "signal.reversed" });
  });

  it("cannot be told near 0 °C, where its signal is nothing either way", () => {
    expect(reversed(1).status).toBe("measured");
  });

  it("is not suspected of a large error of another kind", () => {
    const run = new InventedRun(inventedJob({ items: [thermocouple] })).begin().measure({ point: 1, errors: [30] });
    expect(evaluate(run.events).items[0]!.passes[0]!.points[1]!.status).toBe("measured");
    const platinum = new InventedRun(inventedJob({ items: [resistor] })).begin().measure({ point: 1, errors: [-90] });
    expect(evaluate(platinum.events).items[0]!.passes[0]!.points[1]!.status).toBe("measured");
  });
});
