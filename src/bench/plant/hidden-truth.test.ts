import { expect, it } from "vitest";
import {
  accuracyRow,
  drawTruth,
  itemDisturbance,
  readoutError,
  referenceError,
  wellDifference,
} from "./hidden-truth.ts";
import { daysBetween, type StatedKit } from "./stated-kit.ts";

const kit: StatedKit = {
  reference: {
    sensor: { kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
    channel: "reference",
    calibration: {
      date: "2026-01-15",
      uncertainty: [
        { temperature: 0, value: 0.02 },
        { temperature: 400, value: 0.06 },
      ],
      k: 2,
    },
    driftPerYear: 0.03,
    interpolation: 0,
    selfHeating: 0,
  },
  readout: {
    accuracy: [
      { unit: "Ω", upTo: 120, percentOfReading: 0.01, absolute: 0.002, resolution: 0.0001 },
      { unit: "Ω", upTo: 400, percentOfReading: 0.02, absolute: 0.005, resolution: 0.001 },
    ],
  },
  source: {
    class: "dry-block",
    range: { minimum: 0, maximum: 400 },
    stability: 0.02,
    axial: 0.15,
    radial: 0.05,
    loading: 0.02,
  },
};
const certain = { date: "2026-01-15", uncertainty: 0, k: 2 };
const item = { channel: "item-1", contributions: { inhomogeneity: 0.4, leads: 0.02 } };
const seeds = Array.from({ length: 2000 }, (_, index) => index + 1);
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
const deviation = (values: readonly number[]) => {
  const middle = mean(values);
  return Math.sqrt(mean(values.map((value) => (value - middle) ** 2)));
};

it.each([0, 137, 400])("the reference's calibration is off by U/k at %s °C, in the long run", (temperature) => {
  const errors = seeds.map((seed) => referenceError(drawTruth([], seed), kit, 0, temperature));
  const stated = (0.02 + (0.04 * temperature) / 400) / 2;
  // Five standard errors of 2000 draws.
  expect(Math.abs(mean(errors))).toBeLessThan((5 * stated) / Math.sqrt(2000));
  expect(Math.abs(deviation(errors) / stated - 1)).toBeLessThan(5 / Math.sqrt(4000));
});

it("what is stated as a limit stays within it and is rectangular", () => {
  for (const [limit, errors] of [
    [
      0.03 * 1.5,
      seeds.map((seed) =>
        referenceError(
          drawTruth([], seed),
          { ...kit, reference: { ...kit.reference, calibration: certain } },
          1.5,
          200,
        ),
      ),
    ],
    [0.42, seeds.map((seed) => itemDisturbance(drawTruth([item], seed), item, 100))],
    [0.22, seeds.map((seed) => wellDifference(drawTruth([], seed), kit, 100))],
    [0.007, seeds.map((seed) => readoutError(drawTruth([], seed), kit.readout.accuracy, "Ω", 50))],
  ] as const) {
    expect(Math.max(...errors.map(Math.abs))).toBeLessThanOrEqual(limit);
    expect(Math.abs(mean(errors))).toBeLessThan(0.07 * limit);
  }
  const drifts = seeds.map((seed) => drawTruth([], seed).reference.drift);
  expect(deviation(drifts)).toBeCloseTo(1 / Math.sqrt(3), 1);
});

it("gain and offset of the readout follow the row that holds for the value", () => {
  const rows = kit.readout.accuracy;
  expect(accuracyRow(rows, "Ω", 100)?.upTo).toBe(120);
  expect(accuracyRow(rows, "Ω", -121)?.upTo).toBe(400);
  expect(accuracyRow(rows, "Ω", 999)?.upTo).toBe(400);
  expect(accuracyRow(rows, "mV", 1)).toBeNull();
  const truth = drawTruth([], 5);
  const { gain, offset } = truth.readout["Ω"];
  expect(readoutError(truth, rows, "Ω", 200)).toBeCloseTo(gain * 0.04 + offset * 0.005, 12);
});

it("the same seed hides the same; another item moves nothing else", () => {
  expect(drawTruth([item], 9)).toEqual(drawTruth([item], 9));
  expect(drawTruth([item], 9)).not.toEqual(drawTruth([item], 10));
  const more = drawTruth([{ channel: "item-2", contributions: { leads: 1 } }, item], 9);
  const { items, ...kitOnly } = drawTruth([item], 9);
  expect(more).toMatchObject(kitOnly);
  expect(more.items["item-1"]).toEqual(items["item-1"]);
});

it("days are counted by the calendar", () => {
  expect(daysBetween("2026-01-01", "2027-01-01")).toBe(365);
  expect(daysBetween("2027-12-31", "2028-03-01")).toBe(61);
  expect(daysBetween("2026-11-25", "2026-01-15")).toBe(-314);
});
