import { describe, expect, test } from "vitest";
import type { Picture } from "../document/model.ts";
import { layPicture } from "./picture-layout.ts";

const picture = (change: Partial<Picture> = {}): Picture => ({
  heading: "",
  alt: "",
  caption: "",
  sign: ".",
  xLabel: "",
  yLabel: "",
  guarded: true,
  legend: { asFound: "As found", asLeft: null, tolerance: null, guard: null },
  marks: [
    { pass: "as-found", temperature: 0, error: 0.1, U: 0.05, decision: "pass" },
    { pass: "as-found", temperature: 100, error: -0.2, U: 0.1, decision: "pass" },
  ],
  limits: [
    { temperature: 0, lower: -0.5, upper: 0.5, acceptance: { lower: -0.45, upper: 0.45 } },
    { temperature: 100, lower: -0.6, upper: 0.6, acceptance: { lower: -0.5, upper: 0.5 } },
  ],
  ...change,
});

describe("the picture of errors", () => {
  test("puts larger errors higher, and the bar's ends as far as U on both sides", () => {
    const { marks, zero } = layPicture(picture());
    const [first, second] = marks;
    expect(first!.y).toBeLessThan(zero!);
    expect(second!.y).toBeGreaterThan(zero!);
    expect(first!.low - first!.y).toBeCloseTo(first!.y - first!.high, 2);
    expect((zero! - first!.y) / (first!.low - first!.y)).toBeCloseTo(2, 1);
  });

  test("keeps everything inside the plot", () => {
    const layout = layPicture(
      picture({ marks: [{ pass: "as-left", temperature: 40, error: 5, U: 3, decision: "fail" }] }),
    );
    const { top, bottom, left, right } = layout.plot;
    const points = [
      ...layout.band,
      ...layout.guards.flat(),
      ...layout.limitLines.flat(),
      ...layout.marks.flatMap(
        (mark) =>
          [
            [mark.x, mark.low],
            [mark.x, mark.high],
          ] as const,
      ),
    ];
    for (const [x, y] of points.filter(([x]) => x >= left && x <= right)) {
      expect(x).toBeGreaterThanOrEqual(left);
      expect(y).toBeGreaterThanOrEqual(top);
      expect(y).toBeLessThanOrEqual(bottom);
    }
    expect(layout.marks[0]!.x).toBe((left + right) / 2);
  });

  test("sets found and left side by side at one temperature", () => {
    const marks = (["as-found", "as-left"] as const).map((pass) => ({
      pass,
      temperature: 50,
      error: 0,
      U: 0.1,
      decision: "pass" as const,
    }));
    const [found, left] = layPicture(picture({ marks })).marks;
    expect(left!.x - found!.x).toBeGreaterThan(2);
  });

  test("hatches the whole tolerance where no acceptance zone is left", () => {
    const limits = [{ temperature: 0, lower: -0.1, upper: 0.1, acceptance: null }];
    const { guards, band } = layPicture(picture({ limits }));
    const heights = band.map(([, y]) => y);
    expect(Math.max(...heights) - Math.min(...heights)).toBe(0);
    expect(guards).toHaveLength(2);
  });

  test("leaves out labels that would touch, but no tick", () => {
    const marks = Array.from({ length: 60 }, (_, i) => ({
      pass: "as-found" as const,
      temperature: i * 5,
      error: 0,
      U: 0.1,
      decision: "pass" as const,
    }));
    const { xTicks } = layPicture(picture({ marks }));
    expect(xTicks).toHaveLength(60);
    const labelled = xTicks.filter(({ text }) => text !== null);
    const gaps = labelled.slice(1).map((tick, index) => tick.at - labelled[index]!.at);
    expect(gaps.length).toBeGreaterThan(5);
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(9);
  });

  test.each([0.004, 0.07, 1.3, 26])("labels the axis of errors evenly for a tolerance of %s K", (tolerance) => {
    const limits = [{ temperature: 0, lower: -tolerance, upper: tolerance, acceptance: null }];
    const marks = [
      { pass: "as-found" as const, temperature: 0, error: 0, U: tolerance / 10, decision: "pass" as const },
    ];
    const { yTicks } = layPicture(picture({ limits, marks, guarded: false }));
    expect(yTicks.length).toBeGreaterThanOrEqual(3);
    expect(yTicks.length).toBeLessThanOrEqual(9);
    expect(yTicks.map(({ text }) => text)).toContain("0");
    const values = yTicks.map(({ text }) => Number(text.replace("\u2212", "-")));
    const steps = values.slice(1).map((value, index) => value - values[index]!);
    expect(Math.max(...steps) - Math.min(...steps)).toBeCloseTo(0, 9);
  });
});
