import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf } from "#thermometry";
import type { JobInput } from "../job/job.ts";
import type { SettlingEvidence } from "../log/events.ts";
import type { ClosingCheck, MeasuredPoint } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { inventedJob, inventedKit, InventedRun, resistor } from "./invented-run.test-support.ts";

type Plan = NonNullable<JobInput["procedure"]["closingCheck"]>;

const icePoint: Plan = { kind: "ice-point", halfWidth: 0.01, limit: 0.1 };
const thermometer: Plan = {
  kind: "check-thermometer",
  temperature: 50,
  description: "Check probe",
  serial: "chk-9",
  certificate: "DEMO-90",
  uncertainty: 0.04,
  channel: "check",
  limit: 0.1,
};
const evidence = (remainder: number): SettlingEvidence => ({
  from: 0,
  to: 120,
  estimate: 0,
  remainder,
  standardUncertainty: 0,
  slope: 0,
  slopeStandardError: 0,
  autocorrelation: 0,
  target: 0.05,
});
const times = [1000, 1002, 1004, 1006];
const by = "demo technician";

const runWith = (plan: Plan, changes: Partial<JobInput> = {}): InventedRun => {
  const { procedure } = inventedJob();
  return new InventedRun(inventedJob({ ...changes, procedure: { ...procedure, closingCheck: plan } })).begin();
};
const ohm = (run: InventedRun, temperature: number): number =>
  unwrap(signalOf(run.job.kit.reference.sensor, temperature)).signal;
/** Readings of the reference at temperatures, with all digits. */
const read = (run: InventedRun, temperatures: readonly number[], at: readonly number[] = times): InventedRun => {
  run.readings(
    "reference",
    "Ω",
    [...at],
    temperatures.map((temperature) => ohm(run, temperature)),
    null,
  );
  return run;
};
const measured = (run: InventedRun, typed?: number): ClosingCheck => {
  run.add({ kind: "check-measured", from: 1000, to: 1006, by, ...(typed === undefined ? {} : { typed }) });
  return evaluate(run.events).closingCheck!;
};
const steady = (temperature: number): number[] => times.map(() => temperature);

/** Combined standard uncertainty of limits, all rectangular, K. */
const ofLimits = (...halfWidths: readonly number[]): number => Math.hypot(...halfWidths) / Math.sqrt(3);
/** Readout at 0 °C: 0.003 % of 100.012 Ω and 1 mΩ at 0.39090 Ω/K; half a digit of 0.1 mΩ. */
const readAtZero = [(3e-5 * 100.012 + 0.001) / 0.3909, 0.00005 / 0.3909];
/** At 50 °C: 119.412 Ω at 0.38512 Ω/K. */
const readAtFifty = [(3e-5 * 119.412 + 0.001) / 0.38512, 0.00005 / 0.38512];

describe("a closing check in the ice point [C52]", () => {
  it("has the uncertainty of the ice point and of the reading, worked by hand", () => {
    const run = read(runWith(icePoint), steady(0.06));
    const check = measured(run);
    const { difference, u, U, item } = check.differences[0]!;
    expect(check).toMatchObject({
      kind: "ice-point",
      status: "holds",
      limit: 0.1,
      standard: { value: 0, origin: [0] },
    });
    expect(item).toBeNull();
    expect(difference.value).toBeCloseTo(0.06, 9);
    expect(check.temperature!.value).toBeCloseTo(0.06, 9);
    expect(u).toBeCloseTo(ofLimits(0.01, ...readAtZero), 5);
    expect(U / u).toBeCloseTo(2, 3);
    expect(check.statement).toMatch(
      /The reference demo-ref differed by 0\.060 K ± 0\.0\d\d K in the ice point .* within the limit of 0\.1 K\.$/,
    );
    // Opened, then the readings, then the word that they count.
    expect(difference.origin).toEqual([0, 2, 3]);
    expect(check.temperature!.origin).toEqual([2]);
  });

  it("adds its own scatter and what was left of settling, by the last evidence before it", () => {
    const run = runWith(icePoint);
    run.add({ kind: "check-settled", evidence: evidence(5) });
    run.add({ kind: "check-settled", evidence: evidence(0.03) });
    read(run, [0.02, -0.02, 0.02, -0.02]);
    const check = measured(run);
    run.add({ kind: "check-settled", evidence: evidence(9) });
    expect(evaluate(run.events).closingCheck!.differences[0]!.u).toBe(check.differences[0]!.u);
    // ±0.02 K: s = 0.02·√(4/3) K; four readings, taken as at least two independent ones and at most four.
    const rest = ofLimits(0.01, 0.03, ...readAtZero);
    const { u } = check.differences[0]!;
    expect(u).toBeGreaterThan(Math.hypot(rest, 0.0115) * 0.999);
    expect(u).toBeLessThan(Math.hypot(rest, 0.0164));
    expect(check.differences[0]!.difference.value).toBeCloseTo(0, 9);
  });

  it("takes the readings of its window, both ends included, without those that were rejected", () => {
    const run = runWith(icePoint);
    read(run, [9, 0.01, 0.03, 0.05, 0.07, 9], [998, 1000, 1002, 1004, 1006, 1008]);
    expect(measured(run).temperature!.value).toBeCloseTo(0.04, 9);
    run.add({ kind: "reading-rejected", channel: "reference", time: 1006, reason: "spike" });
    expect(evaluate(run.events).closingCheck!.temperature!.value).toBeCloseTo(0.03, 9);
  });

  it("names each line of readings once, in their order", () => {
    for (const [first, second] of [
      [times.slice(0, 2), times.slice(2)],
      // A line that came late.
      [times.slice(2), times.slice(0, 2)],
    ]) {
      const run = runWith(icePoint);
      read(run, [0, 0], first);
      read(run, [0, 0], second);
      expect(measured(run).temperature!.origin).toEqual([2, 3]);
    }
  });

  it("that is itself less certain than the limit says so", () => {
    const weak = measured(read(runWith({ ...icePoint, halfWidth: 0.2 }), steady(0.02)));
    expect(weak.status).toBe("holds");
    expect(weak.statement).toMatch(/The check itself is less certain than the limit, so it proves little\.$/);
    expect(measured(read(runWith(icePoint), steady(0.02))).statement).not.toMatch(/less certain/);
  });

  it("beyond the limit is said either way", () => {
    for (const off of [0.11, -0.11]) {
      const check = measured(read(runWith(icePoint), steady(off)));
      expect(check.status).toBe("failed");
      expect(check.statement).toMatch(
        /in the ice point .* beyond the limit of 0\.1 K: what was measured with it is suspect/,
      );
    }
  });

  it.each<[string, Partial<JobInput>, readonly number[], RegExp]>([
    ["no reading", {}, [], /cannot be evaluated/],
    ["a single reading", {}, [0], /cannot be evaluated/],
    [
      "a readout that does not reach",
      {
        kit: { ...inventedKit, readout: { ...inventedKit.readout, accuracy: [{ unit: "Ω", upTo: 50, absolute: 1 }] } },
      },
      [0, 0],
      /cannot be evaluated.*no row/,
    ],
  ])("with %s cannot be evaluated, and says so", (_, changes, temperatures, words) => {
    const run = runWith(icePoint, changes);
    if (temperatures.length > 0) read(run, temperatures, times.slice(0, temperatures.length));
    const check = measured(run);
    expect(check).toMatchObject({ status: "not-done", differences: [], temperature: null, standard: null, limit: 0.1 });
    expect(check.statement).toMatch(words);
    expect(check.origin).toEqual([run.events.length - 1]);
  });

  it("of a signal that gives no temperature cannot be evaluated", () => {
    const run = runWith(icePoint);
    run.readings("reference", "Ω", times, [100, 100, 9000, 100], null);
    expect(measured(run)).toMatchObject({
      status: "not-done",
      statement: expect.stringMatching(/cannot be evaluated/),
    });
  });

  it("does not count the readout where the reference does not go through it", () => {
    const base = inventedJob();
    const shown = { instrument: "display", input: 1, unit: "Ω" } as const;
    const bench = { ...base.bench, channels: { ...base.bench.channels, reference: shown } };
    const check = measured(read(runWith(icePoint, { bench }), steady(0)));
    expect(check.differences[0]!.u).toBeCloseTo(0.01 / Math.sqrt(3), 12);
  });

  it("that was planned and not made says so at the end of the log", () => {
    const run = runWith(icePoint).measure({ point: 0 });
    const last = run.events.length - 1;
    expect(evaluate(run.events).closingCheck).toMatchObject({
      kind: "ice-point",
      status: "not-done",
      reference: { id: "ref-7", serial: "demo-ref" },
      statement: "The closing check was planned, but not made.",
      origin: [last],
    });
    run.add({ kind: "check-skipped", reason: "no ice", by });
    run.add({ kind: "check-skipped", reason: "no water", by });
    expect(evaluate(run.events).closingCheck).toMatchObject({
      statement: "The closing check was left out: no water (demo technician).",
      origin: [last + 2],
    });
    expect(evaluate(new InventedRun(inventedJob()).begin().events)).not.toHaveProperty("closingCheck");
  });
});

describe("a closing check beside a second thermometer [C52]", () => {
  /** Certificate 0.04 K with k = 2; axial 0.03 K + 50/400·0.12 K and radial 0.02 K of the source. */
  const expected = Math.hypot(0.02, ofLimits(0.045, 0.02, ...readAtFifty));

  it("on a channel has its uncertainty and the source's between the two, worked by hand", () => {
    const run = read(runWith(thermometer), steady(50.08));
    run.readings("check", "°C", times, steady(50), null);
    const check = measured(run);
    expect(check).toMatchObject({
      kind: "check-thermometer",
      status: "holds",
      standard: { value: 50, unit: "°C", origin: [3] },
      temperature: { origin: [2] },
      origin: [2, 3, 4],
    });
    expect(check.differences[0]!.difference.value).toBeCloseTo(0.08, 9);
    expect(check.differences[0]!.u).toBeCloseTo(expected, 5);
    expect(check.statement).toContain("beside the check thermometer chk-9 (DEMO-90)");
  });

  it("adds the scatter of both, and takes the coverage factor of its certificate", () => {
    const run = read(runWith({ ...thermometer, k: 4 }), steady(50));
    run.readings("check", "°C", times, [50.2, 49.8, 50.2, 49.8], null);
    // s = 0.2·√(4/3) K, of between two and four independent readings.
    const { u } = measured(run).differences[0]!;
    const rest = Math.hypot(0.01, ofLimits(0.045, 0.02, ...readAtFifty));
    expect(u).toBeGreaterThan(Math.hypot(rest, 0.115) * 0.999);
    expect(u).toBeLessThan(Math.hypot(rest, 0.164));
  });

  it("is typed where it has no channel", () => {
    const { channel: _, ...byHand } = thermometer;
    const check = measured(read(runWith(byHand), steady(50.08)), 50.02);
    expect(check.standard).toEqual({ value: 50.02, unit: "°C", origin: [3] });
    expect(check.differences[0]!.difference.value).toBeCloseTo(0.06, 9);
    expect(check.differences[0]!.u).toBeCloseTo(expected, 5);
    const silent = measured(read(runWith(byHand), steady(50.08)));
    expect(silent).toMatchObject({ status: "not-done", statement: expect.stringMatching(/was not typed in/) });
  });

  it("without readings cannot be evaluated", () => {
    expect(measured(read(runWith(thermometer), steady(50)))).toMatchObject({ status: "not-done" });
  });

  it("holds at the limit itself, and fails beyond it", () => {
    const reference = {
      ...inventedKit.reference,
      sensor: { kind: "indication" as const },
      unit: "°C" as const,
    };
    const { channel: _, ...byHand } = thermometer;
    const at = (typed: number): ClosingCheck => {
      const run = runWith({ ...byHand, limit: 0.25 }, { kit: { ...inventedKit, reference }, items: [resistor] });
      run.readings("reference", "°C", times, steady(50), null);
      return measured(run, typed);
    };
    expect(at(49.75)).toMatchObject({ status: "holds", statement: expect.stringMatching(/within the limit/) });
    expect(at(50.25)).toMatchObject({ status: "holds", statement: expect.stringMatching(/within the limit/) });
    expect(at(49.749)).toMatchObject({ status: "failed", statement: expect.stringMatching(/beyond the limit/) });
    expect(at(50.251)).toMatchObject({ status: "failed", statement: expect.stringMatching(/beyond the limit/) });
  });
});

describe("the check at the first point [C53]", () => {
  const two: JobInput["items"] = [
    resistor,
    { ...resistor, id: "item-2", tag: "TT-9", serial: "demo-9", channel: "item-2" },
  ];
  const resultOf = (first: readonly number[], last: readonly number[] | null, limit = 0.05) => {
    const run = runWith({ kind: "first-point", limit }, { items: two.slice(0, first.length) });
    run.measure({ point: 0, errors: first }).measure({ point: 1 });
    if (last !== null) run.measure({ point: 2, errors: last });
    return evaluate(run.events);
  };
  const repeated = (...given: Parameters<typeof resultOf>) => resultOf(...given).items[0]!.passes[0]!;

  it("says how far each item moved, and that it holds", () => {
    const { check, decision, points } = repeated([0.02, 0.05], [0.05, 0.02]);
    const itemPoints = (item: number) =>
      resultOf([0.02, 0.05], [0.05, 0.02]).items[item]!.passes[0]!.points as MeasuredPoint[];
    expect(check).toMatchObject({
      kind: "first-point",
      status: "holds",
      limit: 0.05,
      temperature: null,
      standard: null,
      reference: { id: "ref-7", serial: "demo-ref" },
    });
    expect(check!.differences.map(({ item, difference }) => [item, Number(difference.value.toFixed(3))])).toEqual([
      ["item-pt", 0.03],
      ["item-2", -0.03],
    ]);
    for (const [index, each] of check!.differences.entries()) {
      expect(each).not.toHaveProperty("tag");
      // All lines that the two errors came from, each once and in order.
      const ends = [0, 2].map((point) => itemPoints(index)[point]!.error.origin);
      expect(each.difference.origin).toEqual([...new Set(ends.flat())].toSorted((a, b) => a - b));
      expect(each.difference.origin.length).toBeGreaterThan(6);
    }
    const all = check!.differences.flatMap(({ difference }) => difference.origin);
    expect(check!.origin).toEqual([...new Set(all)].toSorted((a, b) => a - b));
    expect(check!.statement).toMatch(
      /pass \(as found\), the first point differed by: TT-202 0\.0\d+ K ± .*, TT-9 -0\.0\d+ K .*; within the limit of 0\.05 K\.$/,
    );
    expect(decision).toBe("pass");
    expect(points.every((point) => point.status === "measured" && point.conformity !== null)).toBe(true);
  });

  it("fails where a single item moved, and says that the others did not", () => {
    const { check, decision, points } = repeated([0, 0], [0.1, 0]);
    expect(check).toMatchObject({ status: "failed" });
    expect(check!.statement).toMatch(/the limit is 0\.05 K, so the points between are suspect\. Not all items moved/);
    expect(decision).toBe("undecided");
    for (const point of points)
      expect(point).toMatchObject({ status: "measured", conformity: null, conformityNote: check!.statement });
  });

  it("does not blame the reference where the items moved apart", () => {
    expect(repeated([0, 0], [0.1, -0.1]).check!.statement).toMatch(/Not all items moved/);
    expect(repeated([0, 0], [-0.1, -0.1]).check!.statement).toMatch(/All items moved the same way/);
    expect(repeated([0], [-0.1]).check!.statement).toMatch(/cannot be told apart/);
  });

  it("is not done where the last was not measured, and then takes nothing away", () => {
    const { check, decision } = repeated([0, 0], null);
    expect(check).toMatchObject({ status: "not-done", differences: [] });
    expect(check!.statement).toMatch(/was to be repeated at the end \(as found\), but it was not measured both times/);
    expect(decision).toBe("undecided");
  });

  it("is made for each pass", () => {
    const { procedure } = inventedJob();
    const plan = {
      ...procedure,
      passes: ["as-found" as const, "as-left" as const],
      closingCheck: { kind: "first-point" as const, limit: 0.05 },
    };
    const run = new InventedRun(inventedJob({ procedure: plan })).begin();
    run
      .measure({ point: 0 })
      .measure({ point: 1 })
      .measure({ point: 2, errors: [0.2] });
    run.begin("as-left");
    for (const point of [0, 1, 2]) run.measure({ pass: "as-left", point });
    expect(evaluate(run.end()).items[0]!.passes.map(({ check }) => check!.status)).toEqual(["failed", "holds"]);
    const said = evaluate(run.events).warnings.filter((words) => words.includes("first point"));
    expect(said).toEqual([expect.stringMatching(/as found/)]);
  });
});
