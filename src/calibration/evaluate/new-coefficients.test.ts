import { describe, expect, it } from "vitest";
import type { JobInput } from "../job/job.ts";
import { evaluate } from "./evaluate.ts";
import { inventedJob, InventedRun, resistor, thermocouple, transmitter } from "./invented-run.test-support.ts";
import { proposeCoefficients, type CoefficientsProposal } from "./new-coefficients.ts";

type ItemInput = JobInput["items"][number];
type Asked = Extract<NonNullable<JobInput["procedure"]["adjustment"]>, { kind: "new-coefficients" }>;

const temperatures = [0, 50, 100, 150];
const asked: Asked = {
  kind: "new-coefficients",
  model: "callendar-van-dusen",
  adjustAbove: 0.1,
  authorisedBy: "demo customer",
};
const { procedure } = inventedJob();

const proposed = (
  item: ItemInput,
  errors: readonly number[],
  change: Partial<Asked> = {},
): { proposal: CoefficientsProposal; run: InventedRun } => {
  const points = temperatures.map((temperature) => ({ temperature }));
  const job = inventedJob({
    items: [item],
    procedure: { ...procedure, passes: ["as-found", "as-left"], points },
  });
  const run = new InventedRun(job).begin();
  for (const [point, error] of errors.entries()) run.measure({ point, errors: [error], places: 7 });
  // What was measured afterwards takes no part.
  if (errors.length > 0) run.begin("as-left").measure({ pass: "as-left", point: 0, errors: [5], places: 7 });
  const result = evaluate(run.events).items[0]!;
  return { proposal: proposeCoefficients(result, job.items[0]!, { ...asked, ...change }, 0.9545), run };
};
const everywhere = (error: number): number[] => temperatures.map(() => error);

describe("new coefficients [C54]", () => {
  it("of a bare sensor take its errors away, and say what they would do at every point", () => {
    const { proposal, run } = proposed(resistor, everywhere(0.3));
    expect(proposal.decision).toBe("adjust");
    expect(proposal.reason).toMatch(/^With new coefficients the largest error would go from 0\.30 K to \d/);
    expect(proposal.reason).toMatch(/They go with the sensor; enter them wherever it is read, then confirm\.$/);
    const { sensor, values, inItem, forecast } = proposal.correction!;
    expect(inItem).toBe(false);
    // It shows 0.3 °C at 0 °C: R0 = 100 Ω·(1 + 3.9083e-3·0.3 − 5.775e-7·0.09) = 100.11724 Ω.
    expect(values.map(({ name }) => name)).toEqual(["r0", "a", "b"]);
    expect(values[0]!.value).toBeCloseTo(100.11724, 4);
    expect(sensor).toMatchObject({ kind: "platinum", equation: "callendar-van-dusen", r0: values[0]!.value });
    const { points } = evaluate(run.events).items[0]!.passes[0]!;
    expect(forecast.map(({ point, nominal }) => [point, nominal])).toEqual([
      [0, 0],
      [1, 50],
      [2, 100],
      [3, 150],
    ]);
    for (const [index, { asFound, shift, asLeft, shiftU, U }] of forecast.entries()) {
      const found = points[index]!;
      if (found.status !== "measured") throw new Error("not measured");
      expect(asFound).toBe(found.error.value);
      expect(asFound).toBeCloseTo(0.3, 3);
      expect(shift).toBeCloseTo(-0.3, 3);
      expect(asLeft).toBeCloseTo(asFound + shift, 12);
      // The fit's U is about that of a point, because what the points share is not averaged away (rule C36).
      expect(shiftU / found.budget.U).toBeGreaterThan(0.85);
      expect(shiftU / found.budget.U).toBeLessThan(1.05);
      expect(U).toBeCloseTo(Math.hypot(found.budget.U, shiftU), 12);
    }
  });

  it("take the table's row that is nearest to each point", () => {
    const { proposal } = proposed(resistor, everywhere(0.3));
    // U grows with temperature: the source's axial figure is 0.03 K at 0 °C and 0.075 K at 150 °C.
    const of = proposal.correction!.forecast.map(({ shiftU }) => shiftU);
    expect(of).toEqual(of.toSorted((a, b) => a - b));
    expect(new Set(of).size).toBe(4);
  });

  it("go into a transmitter that holds them", () => {
    const inner = resistor.sensor as Extract<ItemInput["sensor"], { equation: "callendar-van-dusen" }>;
    const item: ItemInput = { ...transmitter, sensor: { kind: "loop", lower: 0, upper: 150, inner } };
    const { proposal } = proposed(item, everywhere(-0.3));
    expect(proposal).toMatchObject({ decision: "adjust", reason: expect.stringMatching(/Enter them in the item/) });
    const { sensor, values, inItem } = proposal.correction!;
    expect(inItem).toBe(true);
    expect(sensor).toMatchObject({ kind: "loop", lower: 0, upper: 150, inner: { kind: "platinum" } });
    // 100 Ω·(1 − 3.9083e-3·0.3).
    expect(values[0]).toMatchObject({ name: "r0", unit: "Ω", value: expect.closeTo(99.88275, 3) });
    const wires: ItemInput = {
      ...transmitter,
      sensor: { kind: "loop", lower: 0, upper: 150, inner: { kind: "thermocouple", type: "K" } },
    };
    const deviated = proposed(wires, everywhere(0.3), { model: "thermocouple-deviation", degree: 0 }).proposal;
    // 0.3 K of type K are about 12 µV between 0 °C and 150 °C (39.5 µV/K to 41.4 µV/K by IEC 60584-1).
    expect(deviated.correction!.values[0]).toMatchObject({ name: "d0", unit: "mV", value: expect.closeTo(0.012, 3) });
    expect(deviated.correction!.sensor).toMatchObject({ kind: "loop", inner: { kind: "thermocouple", type: "K" } });
  });

  it.each<[string, ItemInput, readonly number[], Partial<Asked>, RegExp, boolean]>([
    [
      "an error within the agreed fraction of its tolerance",
      { ...resistor, tolerance: { kelvin: 1 } },
      everywhere(0.3),
      { adjustAbove: 0.35 },
      /^The largest error is 30 % of its tolerance; the procedure loads new coefficients above 35 %\.$/,
      true,
    ],
    [
      "shifts that are smaller than their uncertainty",
      resistor,
      everywhere(0.02),
      { adjustAbove: 0.01 },
      /would chase noise/,
      true,
    ],
    [
      "a transmitter that does not say what it holds",
      transmitter,
      everywhere(0.5),
      {},
      /Give its sensor as "inner" of the loop/,
      false,
    ],
    [
      "a display that does not say what it holds",
      { ...transmitter, sensor: { kind: "indication" }, channel: "shown", unit: "°C" },
      everywhere(0.5),
      {},
      /are not in the job/,
      false,
    ],
    [
      "an equation that no thermometer holds",
      resistor,
      everywhere(0.5),
      { model: "polynomial", degree: 2 },
      /model polynomial gives no coefficients that a thermometer could hold/,
      false,
    ],
    ["the equation of another kind", thermocouple, everywhere(3), {}, /is for platinum thermometers/, false],
    ["nothing measured", resistor, [], {}, /No point was measured/, false],
  ])("are not for %s", (_, item, errors, change, reason, hasCorrection) => {
    const { proposal } = proposed(item, errors, change);
    expect(proposal).toMatchObject({ decision: "leave-alone", reason: expect.stringMatching(reason) });
    expect(proposal.correction !== null).toBe(hasCorrection);
  });

  it("are worth loading where a single shift is larger than its uncertainty", () => {
    // The curve turns by a gain: nothing at 0 °C, 0.6 K at 150 °C.
    const { proposal } = proposed(resistor, [0, 0.2, 0.4, 0.6]);
    expect(proposal.decision).toBe("adjust");
    expect(Math.abs(proposal.correction!.forecast[0]!.shift)).toBeLessThan(proposal.correction!.forecast[0]!.U);
  });

  it("are for an error beyond the fraction, not for one at it", () => {
    const item: ItemInput = { ...resistor, tolerance: { kelvin: 1 } };
    expect(proposed(item, everywhere(0.3), { adjustAbove: 0.29 }).proposal.decision).toBe("adjust");
    expect(proposed(item, everywhere(-0.3), { adjustAbove: 0.29 }).proposal.decision).toBe("adjust");
  });
});
