import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { leastSquares, type LeastSquaresFit, type LeastSquaresInput } from "./least-squares.ts";

interface Certified {
  readonly coefficients: readonly string[];
  readonly standardErrors: readonly string[];
  readonly residualStandardDeviation: string;
}
const data = JSON.parse(
  readFileSync(new URL("../../test/fixtures/numerics/nist-strd-linear.json", import.meta.url), "utf8"),
) as {
  readonly sets: Readonly<
    Record<string, { readonly x: readonly string[]; readonly y: readonly string[]; readonly certified: Certified }>
  >;
  readonly longley: {
    readonly x: readonly (readonly string[])[];
    readonly y: readonly string[];
    readonly certified: Certified;
  };
};

const fitted = (input: LeastSquaresInput): LeastSquaresFit => {
  const fit = leastSquares(input);
  if (!fit.ok) throw new Error(`no fit: ${fit.reason}`);
  return fit;
};
const powers = (x: number, degree: number): number[] => Array.from({ length: degree + 1 }, (_, power) => x ** power);
const digits = (value: number, certified: number): number =>
  -Math.log10(Math.max(Math.abs(value / certified - 1), 1e-17));

/** The fewest certified digits that any coefficient, standard error or the residual standard deviation shows. */
const fewestDigits = (fit: LeastSquaresFit, certified: Certified): number =>
  Math.min(
    ...certified.coefficients.map((value, index) => digits(fit.coefficients[index]!, Number(value))),
    ...certified.standardErrors.map((value, index) => digits(fit.standardErrors[index]!, Number(value))),
    digits(fit.residualStandardDeviation, Number(certified.residualStandardDeviation)),
  );

describe("least squares against the NIST Statistical Reference Datasets", () => {
  it.each(Object.entries(data.sets))("%s to 11 certified digits", (_, { x, y, certified }) => {
    const design = x.map((value) => powers(Number(value), certified.coefficients.length - 1));
    expect(fewestDigits(fitted({ design, observations: y.map(Number) }), certified)).toBeGreaterThan(11);
  });

  it("Longley to 10 certified digits", () => {
    const design = data.longley.x.map((row) => [1, ...row.map(Number)]);
    expect(
      fewestDigits(fitted({ design, observations: data.longley.y.map(Number) }), data.longley.certified),
    ).toBeGreaterThan(10);
  });

  const wamplerX = Array.from({ length: 21 }, (_, index) => index);
  const wamplerNoise = [
    759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048, -2048, 1838, -2048, 2048, -2048, 2523, -2048,
    2048, -2048, 759,
  ];
  it.each([
    ["Wampler1", 1, 0, 12],
    ["Wampler2", 0.1, 0, 11],
    ["Wampler3", 1, 1, 12],
    ["Wampler4", 1, 100, 11],
    ["Wampler5", 1, 10_000, 9],
  ] as const)("%s (degree 5, defined by its formula) to the digits stated", (_, ratio, noise, least) => {
    const observations = wamplerX.map(
      (x, index) => powers(x, 5).reduce((sum, power, i) => sum + power * ratio ** i, 0) + noise * wamplerNoise[index]!,
    );
    const fit = fitted({ design: wamplerX.map((x) => powers(x, 5)), observations });
    fit.coefficients.forEach((value, index) => expect(digits(value, ratio ** index)).toBeGreaterThan(least));
    // Certified for Wampler3; the noise of the others is a multiple of it.
    expect(fit.residualStandardDeviation).toBeCloseTo(2360.14502379268 * noise, 3);
  });
});

describe("least squares", () => {
  // JCGM 100:2008 (GUM), H.3, Table H.6: calibration of a thermometer.
  const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
  const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
  const design = t.map((value) => [1, value - 20]);

  it("reproduces GUM H.3: y1, y2, their uncertainties and correlation", () => {
    const fit = fitted({ design, observations: b });
    const [y1, y2] = fit.coefficients as [number, number];
    const [u1, u2] = fit.standardErrors as [number, number];
    expect([y1, u1].map((value) => value.toFixed(4))).toEqual(["-0.1712", "0.0029"]);
    expect([y2, u2].map((value) => value.toFixed(5))).toEqual(["0.00218", "0.00067"]);
    expect((fit.covariance[0]![1]! / (u1 * u2)).toFixed(3)).toBe("-0.930");
    expect(fit.residualStandardDeviation.toFixed(4)).toBe("0.0035");
    expect(fit.degreesOfFreedom).toBe(9);
    const u30 = Math.sqrt(u1 ** 2 + 100 * u2 ** 2 + 20 * fit.covariance[0]![1]!);
    expect([(y1 + 10 * y2).toFixed(4), u30.toFixed(4)]).toEqual(["-0.1494", "0.0041"]);
  });

  it("with stated uncertainties takes the covariance from them, and weights by them", () => {
    const equal = fitted({ design, observations: b, uncertainties: b.map(() => 0.002) });
    expect(equal.coefficients[1]).toBeCloseTo(fitted({ design, observations: b }).coefficients[1]!, 14);
    expect(
      equal.covariance[0]![0]! / (fitted({ design, observations: b }).unscaledCovariance[0]![0]! * 4e-6),
    ).toBeCloseTo(1, 12);
    const trusting = fitted({ design: [[1], [1]], observations: [1, 2], uncertainties: [1, 3] });
    expect(trusting.coefficients[0]).toBeCloseTo((1 + 2 / 9) / (1 + 1 / 9), 14);
    expect(trusting.covariance[0]![0]).toBeCloseTo(1 / (1 + 1 / 9), 14);
    expect(trusting.residuals[1]).toBeCloseTo(2 - trusting.coefficients[0]!, 14);
  });

  it("is exact where there is nothing left over", () => {
    const fit = fitted({
      design: [
        [1, 0],
        [1, 2],
      ],
      observations: [3, 7],
    });
    expect(fit.coefficients).toEqual([3, 2]);
    expect(fit.residualStandardDeviation).toBe(0);
    expect(fit.degreesOfFreedom).toBe(0);
  });

  it("does not care for the unit of a coefficient or of the observations, to the last digit", () => {
    const fit = fitted({ design, observations: b, uncertainties: b.map((_, index) => 0.001 * (1 + index)) });
    const large = 2 ** 600;
    const other = fitted({
      design: design.map(([one, x]) => [one!, x! * large]),
      observations: b,
      uncertainties: b.map((_, index) => 0.001 * (1 + index)),
    });
    expect(other.coefficients).toEqual([fit.coefficients[0], fit.coefficients[1]! / large]);
    expect(other.standardErrors[0]).toBe(fit.standardErrors[0]);
    const small = fitted({
      design: design.map((row) => row.map((value) => value / large)),
      observations: b.map((value) => value / large),
      uncertainties: b.map((_, index) => (0.001 * (1 + index)) / large),
    });
    expect(small.coefficients).toEqual(fit.coefficients);
    expect(small.residualStandardDeviation).toBe(fit.residualStandardDeviation);
  });

  it("has residuals that no column of the design resembles (the normal equations)", () => {
    const fit = fitted({ design, observations: b.map((value, index) => value + 1e6 * (-1) ** index) });
    for (const column of [0, 1]) {
      const dot = fit.residuals.reduce((sum, value, index) => sum + value * design[index]![column]!, 0);
      expect(Math.abs(dot)).toBeLessThan(1e-8);
    }
  });

  it("says why there is no fit", () => {
    const reason = (input: LeastSquaresInput): string | undefined => {
      const fit = leastSquares(input);
      return fit.ok ? undefined : fit.reason;
    };
    expect(reason({ design: [], observations: [] })).toBe("shape");
    expect(reason({ design: [[1], [1]], observations: [1] })).toBe("shape");
    expect(reason({ design: [[1, 2], [1]], observations: [1, 2] })).toBe("shape");
    expect(reason({ design: [[1]], observations: [1], uncertainties: [1, 2] })).toBe("shape");
    expect(reason({ design: [[1, 2]], observations: [1] })).toBe("too-few-observations");
    expect(reason({ design: [[1], [NaN]], observations: [1, 2] })).toBe("not-finite");
    expect(
      reason({
        design: [
          [1, 3],
          [1, NaN],
          [1, 5],
        ],
        observations: [1, 2, 3],
      }),
    ).toBe("not-finite");
    expect(reason({ design: [[1], [1]], observations: [1, Infinity] })).toBe("not-finite");
    for (const u of [0, -1, NaN, Infinity]) {
      expect(reason({ design: [[1], [1]], observations: [1, 2], uncertainties: [1, u] })).toBe("not-finite");
    }
    // The coefficient, or its covariance, is larger than any double.
    expect(reason({ design: [[1e-200], [1e-200]], observations: [1e200, 1e200] })).toBe("not-finite");
    expect(reason({ design: [[1e-200], [1e-200]], observations: [1e-200, 2e-200] })).toBe("not-finite");
    expect(
      reason({
        design: [
          [1, 2],
          [2, 4],
          [3, 6],
        ],
        observations: [1, 2, 3],
      }),
    ).toBe("not-independent");
    expect(
      reason({
        design: [
          [1, 0],
          [2, 0],
          [3, 0],
        ],
        observations: [1, 2, 3],
      }),
    ).toBe("not-independent");
    expect(reason({ design: [[1e308], [1e308]], observations: [1e308, 1e308], uncertainties: [1e-5, 1e-5] })).toBe(
      "not-finite",
    );
  });
});
