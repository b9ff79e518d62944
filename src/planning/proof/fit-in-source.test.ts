import { describe, expect, it } from "vitest";
import { context, inventedJob, type Wanted } from "../invented-job.test-support.ts";
import { planJob } from "../plan-job.ts";

const wells = [
  { diameter: 6.5, count: 1 },
  { diameter: 8.2, count: 1 },
];
const obstacles = (wanted: Wanted): string[] =>
  planJob(inventedJob({ points: [0, 150], ...wanted }), context).obstacles.map(
    ({ code, message }) => `${code} ${message}`,
  );
const reference = { diameter: 6, immersion: 140 };
const deep = { diameter: 8, immersion: 150 };

describe("what does not fit [P9]", () => {
  it("nothing is said where the figures are not given, or fit", () => {
    expect(obstacles({})).toEqual([]);
    expect(obstacles({ reference, item: deep, source: { wells, depth: 150 } })).toEqual([]);
  });

  it("a probe deeper than the source", () => {
    expect(obstacles({ item: { ...deep, immersion: 170 }, source: { depth: 150 } })).toEqual([
      expect.stringContaining("kit.unfit TE-P-1 is to be 170 mm deep, and src has 150 mm"),
    ]);
  });

  it.each([
    [8.5, "thicker than every well"],
    [7, "half a millimetre and more of air round it"],
  ])("a probe of %s mm: %s", (diameter) => {
    expect(obstacles({ reference, item: { diameter, immersion: 150 }, source: { wells } })).toEqual([
      expect.stringContaining(`No well of src (1 of 6.5 mm, 1 of 8.2 mm) fits TE-P-1 of ${diameter} mm`),
    ]);
  });

  it("above 660 °C a millimetre of air is allowed", () => {
    const source = {
      wells: [{ diameter: 7, count: 2 }],
      class: "furnace" as const,
      range: { minimum: 20, maximum: 1100 },
    };
    const wanted = {
      item: { diameter: 6, immersion: 150 },
      reference: { diameter: 6.5 },
      source,
      tolerance: { kelvin: 3 },
    };
    expect(obstacles({ ...wanted, points: [100, 300] })).toEqual([expect.stringContaining("wider by 0.5 mm at most")]);
    const hot = obstacles({ ...wanted, points: [100, 700] });
    expect(hot.filter((words) => words.startsWith("kit.unfit"))).toEqual([]);
  });

  it("more probes than wells of their size", () => {
    expect(obstacles({ reference, item: { diameter: 6, immersion: 140 }, source: { wells } })).toEqual([
      expect.stringContaining("no well left for"),
    ]);
  });

  it("fifteen diameters, unless the heat along the stem stands in the budget or it is a bath", () => {
    const item = { diameter: 10, immersion: 100 };
    expect(obstacles({ item })).toEqual([expect.stringContaining("15 times are asked for (150 mm)")]);
    expect(obstacles({ item: { ...item, contributions: { stemConduction: 0.01 } } })).toEqual([]);
    expect(obstacles({ item, source: { class: "bath" } })).toEqual([]);
  });
});
