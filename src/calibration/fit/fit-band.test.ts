import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { seededGenerator } from "#numerics";
import { signalOf, standardPlatinum, temperatureOf, type Sensor } from "#thermometry";
import type { FitPoint } from "./curve-fit.ts";
import { bandOf, coefficientBand, fitBand } from "./fit-band.ts";
import { fitCurve } from "./fit-curve.ts";
import { coefficientsOf, withCoefficients } from "./sensor-coefficients.ts";

const pointsOf = (sensor: Sensor, temperatures: readonly number[], u: number): FitPoint[] =>
  temperatures.map((x) => ({ x, y: unwrap(signalOf(sensor, x)).signal, u }));
const temperatures = [-80, -40, 0, 50, 100, 200, 300];

describe("band of a fitted curve", () => {
  it("reproduces GUM H.3: b(30 °C) = −0.1494 °C with u = 0.0041 °C", () => {
    const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
    const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
    const fit = unwrap(
      fitCurve({ model: "polynomial", degree: 1, points: t.map((x, i) => ({ x: x - 20, y: b[i]! })) }),
    );
    // The example itself goes beyond its points, to 30 °C; a band of ours does not unless it is told to.
    const at30 = unwrap(fitBand({ ...fit, range: { lower: 0, upper: 10 } }, 10));
    expect([at30.signal.toFixed(4), at30.u.toFixed(4)]).toEqual(["-0.1494", "0.0041"]);
    expect(fitBand(fit, 10)).toMatchObject({ ok: false, fault: { code: "thermometry.out-of-range" } });
  });

  it("of platinum is what repetition shows (seed 20260303, 300 repetitions)", () => {
    const generator = seededGenerator(20260303);
    const exact = pointsOf(standardPlatinum, temperatures, 0.002);
    const band = unwrap(bandOf(unwrap(fitCurve({ model: "callendar-van-dusen", points: exact }))));
    const places = [-60, 25, 150, 290];
    const spread = places.map(() => 0);
    for (let repetition = 0; repetition < 300; repetition += 1) {
      const points = exact.map((point) => ({ ...point, y: point.y + 0.002 * generator.normal() }));
      const fit = unwrap(fitCurve({ model: "callendar-van-dusen", points }));
      places.forEach((t, index) => {
        const off = unwrap(signalOf(fit.sensor!, t)).signal - unwrap(signalOf(standardPlatinum, t)).signal;
        spread[index] = spread[index]! + off ** 2 / 300;
      });
    }
    places.forEach((t, index) => {
      const { u, kelvin, slope } = unwrap(band(t));
      expect(Math.abs(Math.sqrt(spread[index]!) / u - 1)).toBeLessThan(0.15);
      expect(kelvin).toBeCloseTo(u / slope, 15);
    });
  });

  it("never falls below what all points share, and tends to it as points are added", () => {
    const many = Array.from({ length: 200 }, (_, index) => -80 + index * 2);
    for (const [places, most] of [
      [temperatures, 0.012],
      [many, 0.0102],
    ] as const) {
      const fit = unwrap(
        fitCurve({
          model: "callendar-van-dusen",
          points: pointsOf(standardPlatinum, places, 0.001),
          common: { x: 0.01 },
        }),
      );
      for (const t of [-70, -10, 40, 160, 290]) {
        const { kelvin } = unwrap(fitBand(fit, t));
        expect(kelvin).toBeGreaterThan(0.0099);
        expect(kelvin).toBeLessThan(most);
      }
    }
  });

  it("of an ITS-90 fit: R(TPW) given has no uncertainty at 0.01 °C, R(TPW) fitted has", () => {
    const sensor: Sensor = {
      kind: "platinum",
      equation: "its-90",
      rtpw: 25.5,
      coefficients: [{ subrange: 8, a: -1.2e-4, b: -8e-6 }],
    };
    const points = pointsOf(sensor, [0.01, 100, 231.928, 419.527], 1e-5);
    const given = unwrap(fitCurve({ model: "its-90", subrange: 8, rtpw: 25.5, points }));
    const free = unwrap(fitCurve({ model: "its-90", subrange: 8, points }));
    expect(unwrap(fitBand(given, 0.01)).u).toBeLessThan(1e-12);
    expect(unwrap(fitBand(free, 0.01)).u).toBeGreaterThan(9e-6);
    expect(unwrap(fitBand(given, 300)).u).toBeLessThan(unwrap(fitBand(free, 300)).u);
  });

  it("ends at the first and the last point, both included", () => {
    const points = [10, 20, 30, 40].map((x) => ({ x, y: 2 * x + (x % 20 === 0 ? 0.1 : -0.1), u: 0.1 }));
    const band = unwrap(bandOf(unwrap(fitCurve({ model: "polynomial", degree: 1, points }))));
    for (const inside of [10, 25, 40]) expect(band(inside).ok).toBe(true);
    for (const outside of [9.999, 40.001]) {
      expect(band(outside)).toMatchObject({
        ok: false,
        fault: { code: "thermometry.out-of-range", data: { temperature: outside, lower: 10, upper: 40 } },
      });
    }
  });

  it("of a straight line, worked by hand: u² = σ²·(1/n + (t − t̄)²/Σ(t − t̄)²)", () => {
    const points = [0, 10, 20, 30].map((x) => ({ x, y: 5 - 2 * x, u: 0.2 }));
    const fit = unwrap(fitCurve({ model: "polynomial", degree: 1, points }));
    for (const t of [0, 15, 22, 30]) {
      const at = unwrap(fitBand(fit, t));
      // t̄ = 15, Σ(t − t̄)² = 500.
      const u = 0.2 * Math.sqrt(1 / 4 + (t - 15) ** 2 / 500);
      expect(at.u).toBeCloseTo(u, 12);
      expect(at.slope).toBeCloseTo(-2, 12);
      expect(at.kelvin).toBeCloseTo(u / 2, 12);
      expect(at.signal).toBeCloseTo(5 - 2 * t, 12);
    }
  });

  it("does not exist where nothing is left to judge by", () => {
    const fit = unwrap(
      fitCurve({
        model: "polynomial",
        degree: 1,
        points: [
          { x: 0, y: 1 },
          { x: 1, y: 2 },
        ],
      }),
    );
    expect(fitBand(fit, 0.5)).toMatchObject({ ok: false, fault: { code: "fit.impossible" } });
  });
});

describe("uncertainty from a covariance that a report gives", () => {
  it("of one coefficient is its derivative times its u, for every kind of sensor", () => {
    const cases: readonly [Sensor, string, number, number, number][] = [
      [standardPlatinum, "r0", 0.01, 100, 0.01 * 1.385055],
      [standardPlatinum, "a", 1e-7, 100, 100 * 100 * 1e-7],
      [standardPlatinum, "c", 1e-13, -50, 100 * 150 * 125_000 * 1e-13],
      [standardPlatinum, "c", 1e-13, 50, 0],
      [{ kind: "thermocouple", type: "K", deviation: [0, 0] }, "d1", 1e-6, 300, 3e-4],
    ];
    for (const [sensor, name, sigma, temperature, expected] of cases) {
      const band = unwrap(coefficientBand(sensor, { names: [name], covariance: [[sigma ** 2]] }));
      const { u, slope, kelvin } = unwrap(band(temperature));
      expect(u).toBeCloseTo(expected, 9);
      expect(kelvin).toBeCloseTo(u / Math.abs(slope), 14);
    }
  });

  it("of a thermistor's a is T²·u(a) as a temperature, 1/T = a + …", () => {
    const thermistor: Sensor = { kind: "thermistor", equation: "steinhart-hart", a: 1.13e-3, b: 2.34e-4, c: 8.78e-8 };
    const band = unwrap(coefficientBand(thermistor, { names: ["a"], covariance: [[1e-14]] }));
    expect(unwrap(band(25)).kelvin / (1e-7 * 298.15 ** 2)).toBeCloseTo(1, 4);
  });

  it("takes a coefficient of one of several subranges by its number", () => {
    const sensor: Sensor = {
      kind: "platinum",
      equation: "its-90",
      rtpw: 100,
      coefficients: [
        { subrange: 4, a: -1e-4, b: 1e-5 },
        { subrange: 9, a: -1e-4, b: -1e-5 },
      ],
    };
    const band = unwrap(coefficientBand(sensor, { names: ["9.a"], covariance: [[1e-12]] }));
    expect(unwrap(band(100)).u).toBeCloseTo(100 * 0.3927 * 1e-6, 8);
    expect(unwrap(band(-100)).u).toBe(0);
    expect(unwrap(temperatureOf(sensor, 139)).temperature).toBeGreaterThan(90);
  });

  it.each([
    ["a name that is none", ["q"], [[1]], /no coefficient "q"; its coefficients are r0, a, b, c/],
    ["a table that is not square", ["r0", "a"], [[1, 0]], /square table/],
    ["nothing", [], [], /square table/],
    ["numbers that are none", ["r0"], [[Number.NaN]], /finite/],
    ["a negative variance", ["r0"], [[-1]], /negative/],
    ["a variance that leaves no thermometer", ["r0"], [[1e30]], /so large/],
  ] as const)("refuses %s", (_, names, covariance, sentence) => {
    const outcome = coefficientBand(standardPlatinum, { names, covariance });
    expect(outcome).toMatchObject({
      ok: false,
      fault: { code: "uncertainty.invalid", message: expect.stringMatching(sentence) as string },
    });
  });

  it("of a coefficient without variance is that of the others alone", () => {
    const at = (names: readonly string[], covariance: readonly (readonly number[])[]): number =>
      unwrap(unwrap(coefficientBand(standardPlatinum, { names, covariance }))(100)).u;
    expect(
      at(
        ["r0", "a"],
        [
          [1e-4, 0],
          [0, 0],
        ],
      ),
    ).toBe(at(["r0"], [[1e-4]]));
    expect(
      at(
        ["a", "r0"],
        [
          [0, 0],
          [0, 1e-4],
        ],
      ),
    ).toBe(at(["r0"], [[1e-4]]));
    expect(at(["a"], [[0]])).toBe(0);
  });

  it("is that of a thermometer, which the coefficients must describe", () => {
    const outcome = coefficientBand({ ...standardPlatinum, a: -1 }, { names: ["r0"], covariance: [[1]] });
    expect(outcome).toMatchObject({ ok: false, fault: { code: "thermometry.invalid" } });
  });

  it("refuses a correlation beyond 1 where it shows", () => {
    const names = ["r0", "a"];
    const covariance = [
      [1e-4, -2e-8],
      [-2e-8, 1e-12],
    ];
    const band = unwrap(coefficientBand(standardPlatinum, { names, covariance }));
    expect(band(100)).toMatchObject({ ok: false, fault: { message: expect.stringMatching(/impossible/) as string } });
  });

  it("takes a variance that rounding has made a little negative for none", () => {
    const covariance = (share: number) => [
      [1e-4, -1e-8 * share],
      [-1e-8 * share, 1e-12],
    ];
    // A gradient with which the two parts cancel: d(R)/d(r0) = 1 at 0 °C would not do, so a polynomial's own band is asked.
    const fit = unwrap(
      fitCurve({ model: "polynomial", degree: 1, points: [0, 1, 2].map((x) => ({ x, y: x, u: 0.1 })) }),
    );
    const at = (share: number) =>
      unwrap(fitBand({ ...fit, covariance: covariance(share), range: { lower: 0, upper: 1e5 } }, 1e4)).u;
    // 1e-4 + 1e8·1e-12 − 2·1e4·1e-8·share = 2e-4·(1 − share).
    expect(at(0.5)).toBeCloseTo(Math.sqrt(1e-4), 9);
    expect(at(1 + 1e-10)).toBe(0);
    expect(at(1 + 1e-7)).toBeNaN();
  });

  it("does not go beyond the sensor's range", () => {
    const band = unwrap(coefficientBand(standardPlatinum, { names: ["r0"], covariance: [[1e-6]] }));
    expect(band(900)).toMatchObject({ ok: false, fault: { code: "thermometry.out-of-range" } });
  });
});

describe("coefficients by name", () => {
  const sensors: readonly Sensor[] = [
    standardPlatinum,
    { kind: "thermocouple", type: "K", deviation: [0.1, 2e-5] },
    { kind: "thermocouple", type: "K" },
    { kind: "thermistor", equation: "steinhart-hart", a: 1e-3, b: 2e-4, c: 1e-7 },
    { kind: "thermistor", equation: "steinhart-hart", a: 1e-3, b: 2e-4, c: 1e-7, d: 1e-9 },
    { kind: "platinum", equation: "its-90", rtpw: 25, coefficients: [{ subrange: 9, a: 1e-4, b: 1e-5 }] },
    {
      kind: "platinum",
      equation: "its-90",
      rtpw: 25,
      coefficients: [
        { subrange: 4, a: 1e-4, b: 1e-5 },
        { subrange: 11, a: 3e-4 },
      ],
    },
    { kind: "loop", lower: 0, upper: 100 },
    { kind: "indication" },
  ];

  it.each(sensors)("are read and changed, each alone: %o", (sensor) => {
    for (const { name } of coefficientsOf(sensor)) {
      const changed = withCoefficients(sensor, new Map([[name, 42]]));
      expect(coefficientsOf(changed)).toEqual(
        coefficientsOf(sensor).map((entry) => (entry.name === name ? { name, value: 42 } : entry)),
      );
    }
    expect(withCoefficients(sensor, new Map([["nothing", 1]]))).toEqual(sensor);
  });

  it("have the subrange's number in front where there are several", () => {
    expect(coefficientsOf(sensors[6]!).map(({ name }) => name)).toEqual(["rtpw", "4.a", "4.b", "11.a"]);
    expect(coefficientsOf(sensors[5]!).map(({ name }) => name)).toEqual(["rtpw", "a", "b"]);
  });
});
