import { describe, expect, it } from "vitest";
import type { JobInput } from "../job/job.ts";
import type { RunEvent } from "../log/events.ts";
import type { MeasuredPoint, Result, ResultBudgetLine } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import {
  InventedRun,
  inventedJob,
  inventedKit,
  resistor,
  thermocouple,
  transmitter,
  type PointPlan,
} from "./invented-run.test-support.ts";

type ItemInput = JobInput["items"][number];
const root3 = Math.sqrt(3);

const pointOf = (result: Result, point = 1): MeasuredPoint => {
  const found = result.items[0]!.passes[0]!.points[point]!;
  if (found.status !== "measured") throw new Error(JSON.stringify(found));
  return found;
};
const runOf = (item: ItemInput, plan: Partial<PointPlan> = {}, changes: Partial<JobInput> = {}): RunEvent[] =>
  new InventedRun(inventedJob({ items: [item], ...changes })).begin().measure({ point: 1, noise: 0.003, ...plan })
    .events;
const measured = (item: ItemInput, plan: Partial<PointPlan> = {}, changes: Partial<JobInput> = {}): MeasuredPoint =>
  pointOf(evaluate(runOf(item, plan, changes)));
const line = (point: MeasuredPoint, id: string): ResultBudgetLine => {
  const found = point.budget.lines.find((each) => each.id === id);
  if (found === undefined) throw new Error(`no line ${id}`);
  return found;
};

describe("lines of a Pt100 at 100 °C", () => {
  const point = measured(resistor);

  // Worked by hand from the kit: U 0.03 K with k = 2; 0.04 K a year for 181 days; ±(0.003 % of 138.5 Ω + 1 mΩ).
  it.each([
    ["reference.calibration", "normal", 0.015, 1e-12],
    ["reference.drift", "rectangular", (0.04 * 181) / 365.2425 / root3, 1e-12],
    ["reference.interpolation", "rectangular", 0.005 / root3, 1e-12],
    ["reference.self-heating", "rectangular", 0.004 / root3, 1e-12],
    // Slope of a Pt100 at 100 °C: 0.3793 Ω/K (IEC 60751 by Callendar-Van Dusen).
    ["reference.readout", "rectangular", (138.5e-5 * 3 + 0.001) / root3 / 0.3793, 2e-5],
    ["item.readout", "rectangular", (138.5e-5 * 3 + 0.001) / root3 / 0.3793, 2e-5],
    ["reference.resolution", "rectangular", 0.0001 / Math.sqrt(12) / 0.3793, 1e-7],
    ["item.resolution", "rectangular", 0.0001 / Math.sqrt(12) / 0.3793, 1e-7],
    ["source.axial", "rectangular", 0.06 / root3, 1e-5],
    ["source.radial", "rectangular", 0.02 / root3, 1e-12],
    ["source.loading", "rectangular", 0.01 / root3, 1e-12],
    ["settling.remainder", "rectangular", 0.01 / root3, 1e-12],
  ])("%s: %s, %d K [C11, C12, C13, C14, C15, C16, C17, C19]", (id, distribution, contribution, slack) => {
    const found = line(point, id);
    expect(found.distribution).toBe(distribution);
    expect(Math.abs(found.contribution - contribution)).toBeLessThan(slack);
    expect(found.degreesOfFreedom).toBeNull();
    expect(found.source.length).toBeGreaterThan(10);
    expect(Math.abs(found.u * found.sensitivity)).toBeCloseTo(found.contribution, 15);
  });

  it("add up to u, U at k = 2.00 and shares that add to 1 [C25]", () => {
    const sum = Math.sqrt(point.budget.lines.reduce((square, each) => square + each.contribution ** 2, 0));
    expect(point.budget.u).toBeCloseTo(sum, 14);
    expect(point.budget.k).toBeCloseTo(2, 3);
    expect(point.budget.coverage).toBeCloseTo(0.9545, 12);
    expect(point.budget.U).toBeCloseTo(point.budget.k * sum, 14);
    expect(point.budget.lines.reduce((total, each) => total + each.share, 0)).toBeCloseTo(1, 12);
  });

  it("are reported with two digits of U and the value to the same place [C25]", () => {
    const text = measured(resistor, { errors: [0.1234] }).reported;
    expect(text.U).toMatch(/^0\.\d\d\d?$/);
    for (const part of [text.reference, text.indication, text.error])
      expect(part.split(".")[1]).toHaveLength(text.U.split(".")[1]!.length);
    expect(text.k).toBe("2.00");
  });

  it("follow the coverage that the procedure asks for [C25]", () => {
    const { procedure } = inventedJob();
    const wider = measured(resistor, {}, { procedure: { ...procedure, coverage: 0.99 } });
    expect(wider.budget.k).toBeCloseTo(2.576, 2);
    expect(wider.budget.coverage).toBe(0.99);
  });

  it("know reference and source with a minus, item and settling with a plus [C11]", () => {
    for (const { id, sensitivity } of point.budget.lines)
      expect(Math.sign(sensitivity)).toBe(/^(reference|source)\./.test(id) ? -1 : 1);
  });
});

describe("lines name the quantity that other points share [C37]", () => {
  const sharedBy = (item: ItemInput, id: string, changes = {}) => line(measured(item, {}, changes), id).shared;
  const { readout } = inventedKit;

  it("of the readout by the row of its table, and by its channel", () => {
    expect(sharedBy(resistor, "item.readout")).toMatch(/^readout:demo-readout\/\S+\/item-1\/Ω\/400$/u);
    expect(sharedBy(resistor, "reference.readout")).toMatch(/\/reference\/Ω\/400$/u);
    const open = readout.accuracy.map((row) => ({ ...row, upTo: undefined }));
    expect(
      sharedBy(resistor, "item.readout", { kit: { ...inventedKit, readout: { ...readout, accuracy: open } } }),
    ).toMatch(/\/item-1\/Ω$/u);
  });

  it("has no line of a reference junction for a sensor that has none, whatever is declared", () => {
    const item: ItemInput = { ...resistor, coldJunction: { kind: "channel", channel: "junction", halfWidth: 0.3 } };
    expect(measured(item, {}).budget.lines.map(({ id }) => id)).not.toContain("item.junction");
  });

  it("of the reference junction by its channel, or by the ice point, which its source names, too", () => {
    expect(sharedBy(thermocouple, "item.junction")).toMatch(/^junction:[^/]+\/junction$/u);
    expect(line(measured(thermocouple, {}), "item.junction").source).toContain("reference junction's channel");
    const iced: ItemInput = { ...thermocouple, coldJunction: { kind: "ice-point", halfWidth: 0.02 } };
    expect(sharedBy(iced, "item.junction")).toMatch(/^junction:[^/]+\/ice-point$/u);
    expect(line(measured(iced, {}), "item.junction").source).toContain("at the ice point");
  });
});

describe("sensitivities are those of the evaluation itself", () => {
  const shifted = (log: readonly RunEvent[], channel: string, by: number): RunEvent[] =>
    log.map((event) =>
      event.kind === "readings-taken" && event.channel === channel
        ? { ...event, values: event.values.map((value) => value + by) }
        : event,
    );

  it.each([
    ["reference.readout", "reference", resistor, 0.001],
    ["item.readout", "item-1", resistor, 0.001],
    ["item.readout", "item-1", thermocouple, 0.001],
    ["item.junction", "junction", thermocouple, 0.01],
    ["item.readout", "item-1", transmitter, 0.001],
  ])("%s by moving the readings of %s [C14, C23]", (id, channel, item, by) => {
    const log = runOf(item, { noise: 0, temperature: 95 });
    const moved =
      pointOf(evaluate(shifted(log, channel, by))).error.value -
      pointOf(evaluate(shifted(log, channel, -by))).error.value;
    expect(moved / (2 * by) / line(pointOf(evaluate(log)), id).sensitivity).toBeCloseTo(1, 4);
  });

  // S(t_cj)/S(t) of type N: 26.78 µV/K at 25 °C over 38.27 µV/K at 500 °C (computed from IEC 60584-1).
  it("the reference junction of type N at 500 °C counts for 0.70 of its limits, not for 1 [C23]", () => {
    const item: ItemInput = { ...thermocouple, sensor: { kind: "thermocouple", type: "N" } };
    const { procedure } = inventedJob();
    const kit = { ...inventedKit, reference: { ...inventedKit.reference, range: { minimum: -40, maximum: 600 } } };
    const point = measured(
      item,
      { junction: 25 },
      { kit, procedure: { ...procedure, points: [{ temperature: 100 }, { temperature: 500 }] } },
    );
    expect(line(point, "item.junction").sensitivity).toBeCloseTo(26.78 / 38.27, 3);
    expect(line(point, "item.junction").contribution).toBeCloseTo((0.3 / root3) * (26.78 / 38.27), 3);
  });
});

describe("figures over temperature", () => {
  it("hold at the reference's temperature, linear between rows [C16]", () => {
    const kit = {
      ...inventedKit,
      reference: {
        ...inventedKit.reference,
        calibration: {
          ...inventedKit.reference.calibration,
          uncertainty: [
            { temperature: 0, value: 0.02 },
            { temperature: 200, value: 0.06 },
          ],
        },
      },
    };
    expect(line(measured(resistor, { temperature: 101, noise: 0 }, { kit }), "reference.calibration").u).toBeCloseTo(
      (0.02 + 0.04 * 0.505) / 2,
      6,
    );
  });
});

describe("a table of the kit that ends before the point [C16]", () => {
  it("gives its nearest row, and a warning", () => {
    const short = [
      { temperature: 0, value: 0.03 },
      { temperature: 50, value: 0.05 },
    ];
    const kit = { ...inventedKit, source: { ...inventedKit.source, axial: short } };
    const result = evaluate(runOf(resistor, {}, { kit }));
    expect(line(pointOf(result), "source.axial").u).toBeCloseTo(0.05 / root3, 12);
    expect(result.warnings).toEqual([
      expect.stringMatching(/^kit\.out-of-range: The table for the axial figure of block-1 does not reach 100\.0 °C/),
    ]);
  });
});

describe("what the log itself brings", () => {
  it("the movement of the source within the window, and a warning beyond its figure [C18]", () => {
    const log = runOf(resistor, { noise: 0, rampRate: 0.001 });
    // 38 s at 1 mK/s: ±19 mK, within the source's ±30 mK.
    expect(line(pointOf(evaluate(log)), "source.stability").u).toBeCloseTo(0.019 / root3, 3);
    expect(evaluate(log).warnings).toEqual([]);
    const moving = evaluate(runOf(resistor, { noise: 0, rampRate: 0.002 }));
    expect(line(pointOf(moving), "source.stability").u).toBeCloseTo(0.038 / root3, 3);
    expect(moving.warnings).toEqual([
      expect.stringMatching(/^At 100 °C the source moved by more than its stability of ±0\.03 K/),
    ]);
  });

  it("the bound at readiness; without it the drift over the window, and a warning [C19]", () => {
    const log = runOf(resistor, { remainder: null, errors: [0], noise: 0.003 });
    const result = evaluate(log);
    const found = line(pointOf(result), "settling.remainder");
    expect(found.source).toMatch(/no evidence of settling/);
    expect(found.u).toBeGreaterThan(0.001);
    expect(found.u).toBeLessThan(0.01);
    expect(result.warnings).toEqual([expect.stringMatching(/no evidence that TT-202 had settled/)]);
    const creeping = new InventedRun(inventedJob()).begin();
    const times = Array.from({ length: 11 }, (_, index) => 600 + 2 * index);
    creeping.readings(
      "reference",
      "Ω",
      times,
      times.map(() => 138.5),
      6,
    );
    creeping.readings(
      "item-1",
      "Ω",
      times,
      times.map((time) => 138.5 + 0.001 * (time - 600)),
      6,
    );
    creeping.add({ kind: "point-measured", pass: "as-found", point: 1, from: 600, to: 620, at: 620 });
    // 1 mΩ/s over 20 s is 20 mΩ, and a Pt100 has 0.3793 Ω/K there.
    expect(line(pointOf(evaluate(creeping.events)), "settling.remainder").u).toBeCloseTo(0.02 / 0.3793 / root3, 4);
  });

  it("the scatter of the differences with its effective readings [C20]", () => {
    const point = measured(resistor, { noise: 0.01, count: 40 });
    const found = line(point, "item.repeatability");
    expect(found.distribution).toBe("student");
    expect(found.degreesOfFreedom).toBeCloseTo(point.effectiveReadings - 1, 12);
    // Two probes with 10 mK each, 40 pairs.
    expect(found.u / ((0.01 * Math.SQRT2) / Math.sqrt(point.effectiveReadings))).toBeGreaterThan(0.7);
    expect(found.u / ((0.01 * Math.SQRT2) / Math.sqrt(point.effectiveReadings))).toBeLessThan(1.4);
    const few = measured(resistor, { noise: 0.2, count: 4 });
    expect(few.budget.degreesOfFreedom).toBeLessThan(10);
    expect(few.budget.k).toBeGreaterThan(2.2);
  });
});

describe("the item's digit counts once [C21]", () => {
  const shown: ItemInput = {
    ...transmitter,
    sensor: { kind: "indication" },
    channel: "shown",
    unit: "°C",
    tolerance: { kelvin: 1 },
  };
  const accuracy = (resolution: number) => ({
    ...inventedKit,
    readout: { ...inventedKit.readout, accuracy: [{ unit: "Ω" as const, absolute: 0.001, resolution }] },
  });

  it("as it came over the wire, or as the readout declares, whichever is coarser", () => {
    expect(line(measured(resistor, { places: 3 }), "item.resolution")).toMatchObject({
      unit: "Ω",
      u: 0.001 / 2 / root3,
    });
    expect(line(measured(resistor, { places: 4 }, { kit: accuracy(0.01) }), "item.resolution").u).toBeCloseTo(
      0.01 / 2 / root3,
      12,
    );
    expect(measured(resistor).budget.lines.filter(({ id }) => id === "item.resolution")).toHaveLength(1);
  });

  it("as the display shows it; then the readout has no part in it [C14]", () => {
    const point = measured({ ...shown, indicationResolution: 0.1 }, { places: 1 });
    expect(line(point, "item.resolution")).toMatchObject({ unit: "K", sensitivity: 1 });
    expect(line(point, "item.resolution").u).toBeCloseTo(0.05 / root3, 12);
    expect(point.budget.lines.map(({ id }) => id)).not.toContain("item.readout");
  });

  it("as the typed figures show it, when nothing else is known", () => {
    const run = new InventedRun(inventedJob({ items: [shown] })).begin();
    run.readings("reference", "Ω", [600, 610, 620], [138.52, 138.52, 138.52], null);
    run.readings("shown", "°C", [600, 610, 620], [100.2, 100, 100.4], null);
    run.add({ kind: "point-measured", pass: "as-found", point: 1, from: 600, to: 620, at: 620 });
    expect(line(pointOf(evaluate(run.events)), "item.resolution").u).toBeCloseTo(0.05 / root3, 12);
  });
});

describe("one readout for both channels [C22]", () => {
  it("claims no cancelling where a common error would cancel", () => {
    const point = measured(resistor);
    const pair = ["item.readout", "reference.readout"].map((id) => line(point, id));
    const independent = point.budget.lines.reduce((sum, each) => sum + each.contribution ** 2, 0);
    expect(point.budget.u ** 2).toBeCloseTo(independent, 15);
    expect(pair[0]!.share + pair[1]!.share).toBeCloseTo(
      (pair[0]!.contribution ** 2 + pair[1]!.contribution ** 2) / independent,
      12,
    );
  });

  it("takes it as common where it adds up: a thermistor falls when a platinum probe rises", () => {
    // 1/T = a + b·ln R + c·(ln R)³ for 10 kΩ at 25 °C; the readout's one row reaches both.
    const item: ItemInput = {
      ...resistor,
      sensor: { kind: "thermistor", equation: "steinhart-hart", a: 1.129e-3, b: 2.341e-4, c: 8.775e-8 },
    };
    const kit = {
      ...inventedKit,
      readout: {
        ...inventedKit.readout,
        accuracy: [{ unit: "Ω" as const, percentOfReading: 0.01, absolute: 0, resolution: 0.0001 }],
      },
    };
    const point = measured(item, {}, { kit });
    const [onItem, onReference] = ["item.readout", "reference.readout"].map((id) => line(point, id).contribution);
    const independent = point.budget.lines.reduce((sum, each) => sum + each.contribution ** 2, 0);
    expect(point.budget.u ** 2).toBeCloseTo(independent + 2 * onItem! * onReference!, 12);
    expect(line(point, "item.readout").sensitivity).toBeLessThan(0);
  });
});

describe("what is declared for the item [C24]", () => {
  it("has a line each, and nothing else has", () => {
    const contributions = {
      inhomogeneity: [
        { temperature: 0, value: 0.1 },
        { temperature: 400, value: 0.5 },
      ],
      stemConduction: 0.05,
      leads: 0.02,
      hysteresis: 0.03,
      selfHeating: 0.01,
      insulation: 0.002,
      loopSupply: 0.0125,
      ambient: 0.02,
    };
    const point = measured({ ...thermocouple, contributions });
    const own = point.budget.lines.filter(({ source }) => source.includes("declared for the item"));
    expect(own.map(({ id }) => id)).toEqual([
      "item.inhomogeneity",
      "item.stem-conduction",
      "item.leads",
      "item.hysteresis",
      "item.self-heating",
      "item.insulation",
      "item.loop-supply",
      "item.ambient",
    ]);
    expect(own.map(({ u }) => Number((u * root3).toFixed(4)))).toEqual([
      0.2, 0.05, 0.02, 0.03, 0.01, 0.002, 0.0125, 0.02,
    ]);
    expect(measured(thermocouple).budget.lines.some(({ source }) => source.includes("declared for the item"))).toBe(
      false,
    );
  });
});

describe("kit that does not reach", () => {
  const first = (changes: Partial<JobInput>, plan: Partial<PointPlan> = {}) =>
    evaluate(runOf(changes.items?.[0] ?? resistor, plan, changes)).items[0]!.passes[0]!.points[1]!;

  it("a readout without a row for the signal flags the point [C10]", () => {
    const small = {
      ...inventedKit,
      readout: { ...inventedKit.readout, accuracy: [{ unit: "Ω" as const, upTo: 120, absolute: 0.001 }] },
    };
    expect(first({ kit: small })).toMatchObject({
      status: "flagged",
      code: "kit.out-of-range",
      reason: expect.stringMatching(/readout readout-2 has no row for 138\.\d+ Ω/),
    });
    const ohmsOnly = {
      ...inventedKit,
      readout: { ...inventedKit.readout, accuracy: [{ unit: "Ω" as const, absolute: 0.001 }] },
    };
    expect(first({ kit: ohmsOnly, items: [transmitter] })).toMatchObject({
      status: "flagged",
      code: "kit.out-of-range",
      reason: expect.stringMatching(/ mA\./),
    });
  });

  it("a reference outside its range flags the point; a little off at its end does not [C10]", () => {
    const to = (maximum: number) => ({
      kit: { ...inventedKit, reference: { ...inventedKit.reference, range: { minimum: 0, maximum } } },
    });
    expect(first(to(99))).toMatchObject({
      status: "flagged",
      code: "kit.out-of-range",
      reason: expect.stringMatching(/reference ref-7 is calibrated from 0 °C to 99 °C/),
    });
    expect(first(to(100), { temperature: 100.4 }).status).toBe("measured");
    expect(first(to(100), { temperature: 101.4 }).status).toBe("flagged");
  });
});
