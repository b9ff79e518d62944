import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, standardPlatinum, type Sensor } from "#thermometry";
import type { FitInput, FitPoint } from "./curve-fit.ts";
import { fitCurve } from "./fit-curve.ts";

const faultOf = (input: FitInput): { code: string; message: string } => {
  const outcome = fitCurve(input);
  if (outcome.ok) throw new Error("fitted, though it should not be");
  return outcome.fault;
};
const pointsOf = (sensor: Sensor, temperatures: readonly number[]): FitPoint[] =>
  temperatures.map((x) => ({ x, y: unwrap(signalOf(sensor, x)).signal }));

describe("what cannot be fitted says why", () => {
  const line = (n: number): FitPoint[] => Array.from({ length: n }, (_, x) => ({ x, y: x }));
  const platinum = pointsOf(standardPlatinum, [-100, 0, 100, 200, 300]);

  it.each<[string, FitInput, string, RegExp]>([
    ["no points", { model: "polynomial", degree: 1, points: [] }, "fit.impossible", /no points/],
    [
      "too few",
      { model: "polynomial", degree: 3, points: line(3) },
      "fit.impossible",
      /3 points do not determine 4 coefficients \(c0, c1, c2, c3\)/,
    ],
    ["one point", { model: "polynomial", degree: 1, points: line(1) }, "fit.impossible", /1 point does not determine/],
    [
      "one temperature",
      { model: "polynomial", degree: 1, points: [1, 2, 3].map((y) => ({ x: 7, y })) },
      "fit.impossible",
      /apart/,
    ],
    [
      "too few for c",
      { model: "callendar-van-dusen", points: platinum.slice(0, 3) },
      "fit.impossible",
      /3 points do not determine 4/,
    ],
    [
      "one temperature for platinum",
      { model: "callendar-van-dusen", points: [1, 2, 3, 4].map(() => platinum[2]!) },
      "fit.impossible",
      /apart/,
    ],
    [
      "u of nothing",
      { model: "polynomial", degree: 0, points: [{ x: 0, y: 0, u: 0 }] },
      "input.invalid",
      /Point 1: u must be above 0/,
    ],
    [
      "u below nothing",
      { model: "polynomial", degree: 0, points: [{ x: 0, y: 0, u: -1 }] },
      "input.invalid",
      /u must be above 0/,
    ],
    [
      "u without end",
      { model: "polynomial", degree: 0, points: [{ x: 0, y: 0, u: Infinity }] },
      "input.invalid",
      /u must be/,
    ],
    [
      "u here and there",
      {
        model: "polynomial",
        degree: 0,
        points: [
          { x: 0, y: 0, u: 1 },
          { x: 1, y: 1 },
        ],
      },
      "input.invalid",
      /Point 2 has no u/,
    ],
    [
      "not a number",
      { model: "polynomial", degree: 0, points: [{ x: Number.NaN, y: 0 }] },
      "input.invalid",
      /Point 1: x and y/,
    ],
    [
      "a negative common part",
      { model: "polynomial", degree: 0, points: [{ x: 0, y: 0, common: -1 }] },
      "input.invalid",
      /common/,
    ],
    [
      "a common part without end",
      { model: "polynomial", degree: 0, points: line(3), common: { y: Infinity } },
      "input.invalid",
      /common/,
    ],
    ["no degree", { model: "polynomial", points: line(3) }, "input.invalid", /degree/],
    ["a broken degree", { model: "polynomial", degree: 0.5, points: line(3) }, "input.invalid", /degree/],
    ["no type", { model: "thermocouple-deviation", degree: 1, points: line(3) }, "input.invalid", /type/],
    [
      "beyond a thermocouple's range",
      { model: "thermocouple-deviation", type: "T", degree: 0, points: [{ x: 500, y: 20 }] },
      "thermometry.out-of-range",
      /500 °C/,
    ],
    [
      "beyond platinum's range",
      { model: "callendar-van-dusen", points: [...platinum, { x: 900, y: 400 }] },
      "thermometry.out-of-range",
      /Point 6, at 900 °C/,
    ],
    [
      "beyond the subrange",
      { model: "its-90", subrange: 11, rtpw: 100, points: [{ x: 100, y: 139 }] },
      "thermometry.out-of-range",
      /subrange 11/,
    ],
    ["no subrange", { model: "its-90", rtpw: 100, points: line(3) }, "input.invalid", /subrange/],
    ["no such subrange", { model: "its-90", subrange: 12, rtpw: 100, points: line(3) }, "input.invalid", /subrange/],
    ["no sound R(TPW)", { model: "its-90", subrange: 11, rtpw: 0, points: line(3) }, "input.invalid", /rtpw/],
    [
      "no resistance",
      { model: "its-90", subrange: 11, rtpw: 100, points: [{ x: 20, y: -1 }] },
      "input.invalid",
      /no positive resistance/,
    ],
    [
      "no platinum",
      { model: "callendar-van-dusen", points: [0, 50, 100, 150].map((x) => ({ x, y: 100 - x / 10 })) },
      "fit.impossible",
      /not that of a platinum/,
    ],
    [
      "no platinum of the scale",
      { model: "its-90", subrange: 9, rtpw: 100, points: [50, 100, 200].map((x) => ({ x, y: 100 + x / 20 })) },
      "fit.impossible",
      /not that of a platinum/,
    ],
    [
      "no thermocouple",
      { model: "thermocouple-deviation", type: "K", degree: 1, points: [0, 100, 200].map((x) => ({ x, y: -x })) },
      "fit.impossible",
      /cannot be that of a type K/,
    ],
    [
      "numbers at the end of the scale",
      { model: "polynomial", degree: 1, points: [1e308, -1e308, 1e300].map((x) => ({ x, y: x })) },
      "fit.impossible",
      /too large or too small/,
    ],
    ["no such model", { model: "spline" as "polynomial", points: line(3) }, "input.invalid", /no model "spline"/],
  ])("%s", (_, input, code, sentence) => {
    const fault = faultOf(input);
    expect(fault).toMatchObject({ code, message: expect.stringMatching(sentence) as string });
  });

  it.each<[string, FitInput, Readonly<Record<string, unknown>>]>([
    ["not a number", { model: "polynomial", degree: 0, points: [...line(2), { x: 3, y: Number.NaN }] }, { point: 3 }],
    [
      "no sound u",
      {
        model: "polynomial",
        degree: 0,
        points: [
          { x: 0, y: 0, u: 1 },
          { x: 1, y: 1, u: 0 },
        ],
      },
      { point: 2 },
    ],
    [
      "no u",
      {
        model: "polynomial",
        degree: 0,
        points: [
          { x: 0, y: 0, u: 1 },
          { x: 1, y: 1, u: 1 },
          { x: 2, y: 2 },
        ],
      },
      { point: 3 },
    ],
    ["no type", { model: "thermocouple-deviation", degree: 1, points: line(3) }, { field: "type" }],
    ["no subrange", { model: "its-90", rtpw: 100, points: line(3) }, { field: "subrange" }],
    ["no sound R(TPW)", { model: "its-90", subrange: 11, rtpw: 0, points: line(3) }, { field: "rtpw" }],
    [
      "no resistance",
      {
        model: "its-90",
        subrange: 11,
        rtpw: 100,
        points: [
          { x: 10, y: 104 },
          { x: 20, y: 0 },
        ],
      },
      { point: 2 },
    ],
  ])("%s: the place is in the fault's data and sentence", (_, input, data) => {
    const outcome = fitCurve(input);
    expect(outcome).toMatchObject({ ok: false, fault: { data } });
    const { message } = faultOf(input);
    expect(message).toContain("point" in data ? `Point ${String(data["point"])}` : `"${String(data["field"])}"`);
  });

  it("takes a point a little beyond the end of a subrange, where a source stood a little off", () => {
    const sensor: Sensor = {
      kind: "platinum",
      equation: "its-90",
      rtpw: 100,
      coefficients: [
        { subrange: 4, a: 0, b: 0 },
        { subrange: 9, a: 0, b: 0 },
      ],
    };
    const fit = unwrap(
      fitCurve({
        model: "its-90",
        subrange: 9,
        rtpw: 100,
        points: pointsOf(sensor, [-0.03, 100, 200]),
        common: { x: 0.01 },
      }),
    );
    expect(fit.standardErrors!.every((value) => Number.isFinite(value))).toBe(true);
  });
});
