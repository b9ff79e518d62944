import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { seededGenerator } from "#numerics";
import { signalOf, standardPlatinum, type Sensor } from "#thermometry";
import type { CurveFit, FitInput, FitPoint } from "./curve-fit.ts";
import { fitCurve } from "./fit-curve.ts";

const fixture = <T>(name: string): T =>
  JSON.parse(readFileSync(new URL(`../../../test/fixtures/thermometry/${name}`, import.meta.url), "utf8")) as T;
const fitted = (input: FitInput): CurveFit => unwrap(fitCurve(input));
const faultOf = (input: FitInput): { code: string; message: string } => {
  const outcome = fitCurve(input);
  if (outcome.ok) throw new Error("fitted, though it should not be");
  return outcome.fault;
};
const at = (sensor: Sensor, temperature: number): number => unwrap(signalOf(sensor, temperature)).signal;
const pointsOf = (sensor: Sensor, temperatures: readonly number[], u?: number): FitPoint[] =>
  temperatures.map((x) => ({ x, y: at(sensor, x), ...(u === undefined ? {} : { u }) }));

describe("ITS-90 coefficients of an artificial thermometer (computed with 40 digits)", () => {
  const thermometer = fixture<{
    readonly rtpw_ohm: string;
    readonly cases: readonly {
      readonly subrange: number;
      readonly coefficients: Readonly<Record<string, string>>;
      readonly points: readonly { readonly celsius: string; readonly ohm: string }[];
    }[];
  }>("its-90-artificial-thermometer.json");
  const rtpw = Number(thermometer.rtpw_ohm);

  describe.each(thermometer.cases)("subrange $subrange", ({ subrange, coefficients, points }) => {
    const measured = points.map(({ celsius, ohm }) => ({ x: Number(celsius), y: Number(ohm) }));

    // Resistances are given to 1e-8 Ω: 1e-10 in W, less far from W = 1.
    it("come back from its resistances, R(TPW) given", () => {
      const fit = fitted({ model: "its-90", subrange, rtpw, points: measured });
      expect(fit.names).toEqual(Object.keys(coefficients));
      fit.names.forEach((name, index) =>
        expect(Math.abs(fit.coefficients[index]! - Number(coefficients[name]))).toBeLessThan(3e-10),
      );
      expect(Math.max(...fit.residuals.map(Math.abs))).toBeLessThan(1e-8);
      expect(fit.sensor).toMatchObject({ kind: "platinum", equation: "its-90", rtpw, coefficients: [{ subrange }] });
    });

    it("come back with R(TPW) fitted along", () => {
      const fit = fitted({ model: "its-90", subrange, points: [{ x: 0.01, y: rtpw }, ...measured] });
      expect(fit.names[0]).toBe("rtpw");
      expect(Math.abs(fit.coefficients[0]! - rtpw)).toBeLessThan(1e-6);
      fit.names
        .slice(1)
        .forEach((name, index) =>
          expect(Math.abs(fit.coefficients[index + 1]! - Number(coefficients[name]))).toBeLessThan(2e-8),
        );
      for (const { x, y } of measured) expect(Math.abs(at(fit.sensor!, x) - y)).toBeLessThan(1e-6);
    });
  });

  it("of subrange 6 come back with d, which holds above the aluminium point only", () => {
    const sensor: Sensor = {
      kind: "platinum",
      equation: "its-90",
      rtpw: 0.25,
      coefficients: [{ subrange: 6, a: -2e-4, b: -2e-5, c: 3e-6, d: -5e-6 }],
    };
    const temperatures = [0.01, 231.928, 419.527, 660.323, 800, 961.78];
    for (const given of [{ rtpw: 0.25 }, {}]) {
      const fit = fitted({ model: "its-90", subrange: 6, ...given, points: pointsOf(sensor, temperatures) });
      [-2e-4, -2e-5, 3e-6, -5e-6].forEach((value, index) =>
        expect(fit.coefficients.at(index - 4)! / value).toBeCloseTo(1, 6),
      );
    }
    expect(
      faultOf({
        model: "its-90",
        subrange: 6,
        rtpw: 0.25,
        points: pointsOf(sensor, temperatures.slice(0, 4).concat(300, 500)),
      }).code,
    ).toBe("fit.impossible");
  });

  it.each([1, 2, 3, 5, 8, 9, 10, 11])("of subrange %d come back", (subrange) => {
    const lower = [-259.3467, -248.5939, -218.7916, 0, -38.8344, 0, 0, 0, 0, 0, 0][subrange - 1]!;
    const upper = [0.01, 0.01, 0.01, 0, 29.7646, 0, 0, 419.527, 231.928, 156.5985, 29.7646][subrange - 1]!;
    const names: Readonly<Record<number, readonly string[]>> = {
      1: ["a", "b", "c1", "c2", "c3", "c4", "c5"],
      2: ["a", "b", "c1", "c2", "c3"],
      3: ["a", "b", "c1"],
      5: ["a", "b"],
      8: ["a", "b"],
      9: ["a", "b"],
      10: ["a"],
      11: ["a"],
    };
    const truth = names[subrange]!.map((name, index) => [name, (index % 2 === 0 ? -1 : 0.3) * 10 ** (-4 - index)]);
    const sensor: Sensor = {
      kind: "platinum",
      equation: "its-90",
      rtpw: 25,
      coefficients: [{ subrange, ...Object.fromEntries(truth) }],
    };
    const temperatures = Array.from({ length: 12 }, (_, index) => lower + ((upper - lower) * (index + 0.5)) / 12);
    const fit = fitted({ model: "its-90", subrange, rtpw: 25, points: pointsOf(sensor, temperatures) });
    expect(fit.names).toEqual(names[subrange]);
    for (const [index, t] of temperatures.entries()) {
      expect(Math.abs(fit.residuals[index]!)).toBeLessThan(1e-12);
      expect(at(fit.sensor!, t)).toBeCloseTo(at(sensor, t), 12);
    }
  });
});

describe("Callendar-Van Dusen", () => {
  const table = fixture<{ readonly rows: readonly { readonly celsius: number; readonly ohm: string }[] }>(
    "iec-60751-table.json",
  ).rows;

  it("through the published table of IEC 60751 is IEC 60751, within the table's rounding", () => {
    const points = table.map(({ celsius, ohm }) => ({ x: celsius, y: Number(ohm), u: 0.01 / Math.sqrt(12) }));
    const fit = fitted({ model: "callendar-van-dusen", points });
    const truth = [standardPlatinum.r0, standardPlatinum.a, standardPlatinum.b, standardPlatinum.c];
    truth.forEach((value, index) =>
      expect(Math.abs(fit.coefficients[index]! - value)).toBeLessThan(3 * fit.standardErrors![index]!),
    );
    expect(Math.max(...fit.residuals.map(Math.abs))).toBeLessThan(0.0075);
    expect(fit.residualStandardDeviation).toBeGreaterThan(0.5);
    expect(fit.residualStandardDeviation).toBeLessThan(1.5);
    expect(fit.notes).toEqual([]);
  });

  it("comes back to 12 digits from exact resistances", () => {
    const fit = fitted({
      model: "callendar-van-dusen",
      points: pointsOf(standardPlatinum, [-190, -100, -40, 0, 100, 300, 600]),
    });
    [100, 3.9083e-3, -5.775e-7, -4.183e-12].forEach((value, index) =>
      expect(fit.coefficients[index]! / value).toBeCloseTo(1, 11),
    );
  });

  it("leaves c alone without a point below 0 °C, and says so", () => {
    const fit = fitted({ model: "callendar-van-dusen", points: pointsOf(standardPlatinum, [0, 50, 100, 150]) });
    expect(fit.names).toEqual(["r0", "a", "b"]);
    expect(fit.sensor).toMatchObject({ c: -4.183e-12 });
    expect(fit.notes[0]).toMatch(/No point lies below 0 °C/);
    expect(fit.range).toEqual({ lower: 0, upper: 150 });
  });

  it("says that points just below 0 °C hardly determine c", () => {
    const points = pointsOf(standardPlatinum, [-20, 0, 50, 100, 150], 0.01);
    expect(fitted({ model: "callendar-van-dusen", points }).notes.join(" ")).toMatch(/hardly determined/);
  });

  it("has standard errors that repetition confirms (seed 20260302, 400 repetitions)", () => {
    const generator = seededGenerator(20260302);
    const temperatures = [-80, -40, 0, 50, 100, 200, 300];
    const exact = pointsOf(standardPlatinum, temperatures, 0.002);
    const claimed = fitted({ model: "callendar-van-dusen", points: exact }).standardErrors!;
    const spread = [0, 0, 0, 0];
    for (let repetition = 0; repetition < 400; repetition += 1) {
      const points = exact.map((point) => ({ ...point, y: point.y + 0.002 * generator.normal() }));
      const fit = fitted({ model: "callendar-van-dusen", points });
      [100, 3.9083e-3, -5.775e-7, -4.183e-12].forEach((value, index) => {
        spread[index] = spread[index]! + (fit.coefficients[index]! - value) ** 2 / 400;
      });
    }
    // 400 repetitions know a standard deviation to 3.5 %.
    spread.forEach((square, index) => expect(Math.abs(Math.sqrt(square) / claimed[index]! - 1)).toBeLessThan(0.12));
  });
});

describe("a thermocouple's deviation", () => {
  const deviation = [0.002, -3.1e-5, 4e-8];
  const sensor: Sensor = { kind: "thermocouple", type: "N", deviation };

  it("comes back from emf and becomes the sensor's own", () => {
    const fit = fitted({
      model: "thermocouple-deviation",
      type: "N",
      degree: 2,
      points: pointsOf(sensor, [0, 200, 400, 600, 800, 1000]),
    });
    deviation.forEach((value, index) => expect(fit.coefficients[index]! / value).toBeCloseTo(1, 8));
    expect(fit.names).toEqual(["d0", "d1", "d2"]);
    expect(fit.sensor).toMatchObject({ kind: "thermocouple", type: "N" });
    expect(at(fit.sensor!, 500)).toBeCloseTo(at(sensor, 500), 10);
  });
});

describe("the term below 0 °C", () => {
  it("is called hardly determined of the Callendar-Van Dusen equation only", () => {
    const sensor: Sensor = {
      kind: "platinum",
      equation: "its-90",
      rtpw: 100,
      coefficients: [{ subrange: 7, a: -1e-4, b: 1e-6, c: 1e-9 }],
    };
    const fit = fitted({
      model: "its-90",
      subrange: 7,
      rtpw: 100,
      points: pointsOf(sensor, [100, 200, 300, 400, 500, 600], 0.01),
    });
    // Its c is far smaller than its own standard error, too.
    expect(fit.standardErrors![2]!).toBeGreaterThan(Math.abs(fit.coefficients[2]!));
    expect(fit.notes).toEqual([]);
    expect(fit.range).toEqual({ lower: 0.01, upper: 600 });
  });

  it("is zero at 0 °C itself, so that a point there does not ask for it", () => {
    const fit = fitted({ model: "callendar-van-dusen", points: pointsOf(standardPlatinum, [0, 100, 200]) });
    expect(fit.names).toEqual(["r0", "a", "b"]);
    expect(fit.sensor).toMatchObject({ c: -4.183e-12 });
  });
});

describe("weights and degrees of freedom", () => {
  // JCGM 100:2008 (GUM), H.3, Table H.6 and results: calibration of a thermometer by a straight line.
  const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
  const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];

  it("reproduces GUM H.3", () => {
    const fit = fitted({ model: "polynomial", degree: 1, points: t.map((x, i) => ({ x: x - 20, y: b[i]! })) });
    expect(fit.coefficients.map((value, index) => value.toFixed(index === 0 ? 4 : 5))).toEqual(["-0.1712", "0.00218"]);
    expect(fit.standardErrors!.map((value, index) => value.toFixed(index === 0 ? 4 : 5))).toEqual([
      "0.0029",
      "0.00067",
    ]);
    expect(fit.residualStandardDeviation!.toFixed(4)).toBe("0.0035");
    expect(fit.degreesOfFreedom).toBe(9);
    expect(fit.weighted).toBe(false);
  });

  it("trusts a point as much as its u allows", () => {
    const fit = fitted({
      model: "polynomial",
      degree: 0,
      points: [
        { x: 0, y: 1, u: 1 },
        { x: 1, y: 2, u: 3 },
      ],
    });
    expect(fit.coefficients[0]).toBeCloseTo((1 + 2 / 9) / (1 + 1 / 9), 14);
    expect(fit.covariance![0]![0]).toBeCloseTo(1 / (1 + 1 / 9), 14);
  });

  it("with as many points as coefficients has nothing to judge by", () => {
    const points = [
      { x: 0, y: 1 },
      { x: 1, y: 3 },
    ];
    const bare = fitted({ model: "polynomial", degree: 1, points });
    expect(bare).toMatchObject({ standardErrors: null, covariance: null, residualStandardDeviation: null });
    expect(bare.degreesOfFreedom).toBe(0);
    expect(bare.notes.join(" ")).toMatch(/nothing is left to judge/);
    const stated = fitted({ model: "polynomial", degree: 1, points: points.map((point) => ({ ...point, u: 0.1 })) });
    expect(stated.standardErrors![0]).toBeCloseTo(0.1, 14);
    expect(stated.residualStandardDeviation).toBeNull();
    expect(stated.notes.join(" ")).toMatch(/rest on the stated u alone/);
  });

  it("says when the points scatter more than their u allows", () => {
    const points = (u: number): FitPoint[] => t.map((x, i) => ({ x, y: b[i]!, u }));
    expect(fitted({ model: "polynomial", degree: 1, points: points(0.0035) }).notes).toEqual([]);
    expect(fitted({ model: "polynomial", degree: 1, points: points(0.0005) }).notes[0]).toMatch(
      /scatter .* 7\.0 times/,
    );
  });
});

describe("what all points share", () => {
  const points = (n: number): FitPoint[] =>
    Array.from({ length: n }, (_, index) => ({ x: index, y: 2 + 3 * index, u: 0.01 }));

  it("is not divided by the number of points", () => {
    for (const n of [4, 40, 400]) {
      const fit = fitted({
        model: "polynomial",
        degree: 0,
        points: points(n).map(({ x }) => ({ x, y: 1, u: 0.01 })),
        common: { y: 0.05 },
      });
      expect(fit.standardErrors![0]).toBeCloseTo(Math.hypot(0.01 / Math.sqrt(n), 0.05), 12);
    }
  });

  it("moves the constant by a common signal, and by the slope for a common temperature", () => {
    const own = fitted({ model: "polynomial", degree: 1, points: points(10) });
    const both = fitted({ model: "polynomial", degree: 1, points: points(10), common: { x: 0.02, y: 0.05 } });
    const added = both.covariance!.map((row, i) => row.map((value, j) => value - own.covariance![i]![j]!));
    expect(added[0]![0]).toBeCloseTo(0.05 ** 2 + (3 * 0.02) ** 2, 12);
    expect(Math.abs(added[1]![1]!)).toBeLessThan(1e-15);
    expect(both.coefficients).toEqual(own.coefficients);
  });

  it("of a point by itself goes in with its own size: a gain error common to all is an error of the slope", () => {
    const gain = points(10).map((point) => ({ ...point, common: 0.001 * point.x }));
    const own = fitted({ model: "polynomial", degree: 1, points: points(10) });
    const fit = fitted({ model: "polynomial", degree: 1, points: gain });
    expect(fit.covariance![1]![1]! - own.covariance![1]![1]!).toBeCloseTo(1e-6, 14);
    expect(Math.abs(fit.covariance![0]![0]! - own.covariance![0]![0]!)).toBeLessThan(1e-14);
  });
});
