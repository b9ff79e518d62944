import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import examples from "../../../test/fixtures/uncertainty/jcgm-101-examples.json" with { type: "json" };
import impedance from "../../../test/fixtures/uncertainty/gum-h2.json" with { type: "json" };
import block from "../../../test/fixtures/uncertainty/ea-4-02-s11.json" with { type: "json" };
import type { Distribution } from "../distribution.ts";
import { combine } from "../combine.ts";
import { simulate } from "./simulate.ts";
import type { InputQuantity } from "./trials.ts";
import { validatePropagation } from "./validate-propagation.ts";

const seed = 101;
const off = (value: number, wanted: number): number => Math.abs(value - wanted);

describe(`JCGM 101:2008, 9.3, mass calibration, 10⁶ trials, seed ${seed}`, () => {
  const inputs = examples.mass.inputs.map((entry): InputQuantity => {
    const distribution = entry.distribution as Distribution;
    if (entry.lower === undefined) return { name: entry.name, value: entry.value, u: entry.u, distribution };
    const { lower, upper } = entry as { lower: number; upper: number };
    return { name: entry.name, value: (lower + upper) / 2, u: (upper - lower) / Math.sqrt(12), distribution };
  });
  const [mass, delta, air, weight, reference] = inputs as [
    InputQuantity,
    InputQuantity,
    InputQuantity,
    InputQuantity,
    InputQuantity,
  ];
  const model = ([m, d, a, w, r]: ArrayLike<number> & Iterable<number>): number =>
    (m! + d!) * (1 + (a! - 1.2) * (1 / w! - 1 / r!)) - 100_000;
  const result = unwrap(simulate(model, inputs, { trials: 1_000_000, seed, level: 0.95 }));
  const { published, computed } = examples.mass;

  it("has the published mean, u and shortest interval, and those computed apart [U16, U17]", () => {
    expect(off(result.mean, published.monteCarlo.value)).toBeLessThanOrEqual(0.00035);
    expect(off(result.u, published.monteCarlo.u)).toBeLessThanOrEqual(0.0002);
    for (const side of [0, 1]) {
      expect(off(result.shortest[side]!, published.monteCarlo.shortest95[side]!)).toBeLessThanOrEqual(0.0015);
      expect(off(result.interval[side]!, computed.symmetric95[side]!)).toBeLessThanOrEqual(0.0005);
    }
    expect(off(result.u, computed.u)).toBeLessThanOrEqual(0.0002);
  });

  it("is not validated for the law of propagation of first order, as published [U22]", () => {
    // At the estimates the buoyancy term vanishes, so the first-order sensitivities to the densities are 0.
    const first = unwrap(
      combine({
        lines: [
          { name: "m", u: mass.u },
          { name: "d", u: delta.u, value: delta.value! },
        ],
        level: 0.95,
      }),
    );
    expect(first.u.toFixed(4)).toBe(published.propagation.u.toFixed(4));
    expect((first.value - first.U).toFixed(4)).toBe(published.propagation.interval95[0]!.toFixed(4));
    expect(air.u * weight.u * reference.u).toBeGreaterThan(0);
    const check = validatePropagation(first, result);
    expect(check).toMatchObject({ delta: 0.0005, agreement: "disagrees" });
    expect(off(check.dLow, 0.0451)).toBeLessThanOrEqual(0.003);
    expect(off(check.dHigh, 0.043)).toBeLessThanOrEqual(0.003);
    expect(check.differences[0]).toBeGreaterThan(0);
  });

  it("is found by the adaptive procedure with u to two digits [U18]", () => {
    const adaptive = unwrap(simulate(model, inputs, { trials: "adaptive", seed, level: 0.95 }));
    expect(adaptive.stable).toBe(true);
    expect(adaptive.trials % 10_000).toBe(0);
    expect(adaptive.trials).toBeGreaterThanOrEqual(100_000);
    expect(off(adaptive.u, computed.u)).toBeLessThanOrEqual(0.0005);
    expect(off(adaptive.interval[0], computed.symmetric95[0]!)).toBeLessThanOrEqual(0.001);
  });
});

describe(`JCGM 101:2008, 9.4, comparison loss, seed ${seed}`, () => {
  it.each(examples.comparisonLoss.map((row) => [row.x1, row.r, row] as const))(
    "x1 = %d, r = %d: moments, and for r = 0 the exact intervals [U16, U17, U19]",
    (x1, r, row) => {
      const inputs = [
        { name: "x1", value: x1, u: 0.005 },
        { name: "x2", value: 0, u: 0.005 },
      ];
      const settings = { trials: 1_000_000, seed, level: 0.95, correlations: [{ a: "x1", b: "x2", r }] };
      const { mean, u, interval, shortest } = unwrap(simulate((x) => x[0]! ** 2 + x[1]! ** 2, inputs, settings));
      expect(off(mean / row.mean, 1)).toBeLessThanOrEqual(0.005);
      expect(off(u / row.u, 1)).toBeLessThanOrEqual(0.01);
      for (const side of [0, 1]) {
        // Where no exact interval is known, the two are compared with themselves.
        expect(off(interval[side]!, row.symmetric95?.[side] ?? interval[side]!)).toBeLessThanOrEqual(0.01 * row.u);
        expect(off(shortest[side]!, row.shortest95?.[side] ?? shortest[side]!)).toBeLessThanOrEqual(0.05 * row.u);
      }
    },
  );

  it("has the published figures, to their digits", () => {
    const { u, mean, shortest95AtZero } = examples.comparisonLossPublished;
    const rows = examples.comparisonLoss;
    expect(rows.map((row) => Math.round(row.u * 1e6))).toEqual([...u["0"], ...u["0.9"]]);
    expect(rows.slice(0, 3).map((row) => Math.round(row.mean * 1e6))).toEqual(mean);
    expect(rows[0]!.shortest95!.map((end) => Math.round(end * 1e6))).toEqual(shortest95AtZero);
  });
});

describe("JCGM 100:2008, H.2, resistance, reactance and impedance from correlated readings", () => {
  const { readings, published } = impedance;
  const names = ["V", "I", "phi"] as const;
  const count = readings.V.length;
  const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / count;
  const covariance = (one: readonly number[], other: readonly number[]): number =>
    one.reduce((sum, value, index) => sum + (value - meanOf(one)) * (other[index]! - meanOf(other)), 0) /
    (count * (count - 1));
  const inputs = names.map((name) => ({
    name,
    value: meanOf(readings[name]),
    u: Math.sqrt(covariance(readings[name], readings[name])),
  }));
  const correlations = [
    ["V", "I"],
    ["V", "phi"],
    ["I", "phi"],
  ].map((pair) => {
    const [a, b] = pair as [keyof typeof readings, keyof typeof readings];
    const spread = covariance(readings[a], readings[a]) * covariance(readings[b], readings[b]);
    return { a, b, r: covariance(readings[a], readings[b]) / Math.sqrt(spread) };
  });
  const [V, I, phi] = inputs.map(({ value }) => value) as [number, number, number];
  const sensitivities = {
    R: [Math.cos(phi) / I, (-V * Math.cos(phi)) / I ** 2, (-V * Math.sin(phi)) / I],
    X: [Math.sin(phi) / I, (-V * Math.sin(phi)) / I ** 2, (V * Math.cos(phi)) / I],
    Z: [1 / I, -V / I ** 2, 0],
  };
  const models = {
    R: (x: Float64Array) => (x[0]! * Math.cos(x[2]!)) / x[1]!,
    X: (x: Float64Array) => (x[0]! * Math.sin(x[2]!)) / x[1]!,
    Z: (x: Float64Array) => x[0]! / x[1]!,
  };
  const uOf = (factors: readonly number[]): number =>
    unwrap(
      combine({ lines: inputs.map(({ name, u }, index) => ({ name, u, sensitivity: factors[index]! })), correlations }),
    ).u;

  it("has the published means, uncertainties and correlations of the readings", () => {
    for (const { name, value, u } of inputs) {
      expect(off(value, published.means[name].value)).toBeLessThanOrEqual(1e-9 * value);
      expect(off(u / published.means[name].u, 1)).toBeLessThanOrEqual(0.005);
    }
    expect(correlations.map(({ r }) => r.toFixed(2))).toEqual(
      Object.values(published.inputCorrelation).map((r) => r.toFixed(2)),
    );
  });

  it.each(["R", "X", "Z"] as const)("%s by propagation and by Monte Carlo [U1, U17, U19]", (name) => {
    const wanted = published[name];
    expect(off(uOf(sensitivities[name]), wanted.u)).toBeLessThanOrEqual(0.0006);
    expect(models[name](Float64Array.of(V, I, phi)).toFixed(3)).toBe(wanted.value.toFixed(3));
    const result = unwrap(simulate(models[name], inputs, { trials: 200_000, seed, correlations }));
    expect(off(result.mean, wanted.value)).toBeLessThanOrEqual(0.003);
    expect(off(result.u / uOf(sensitivities[name]), 1)).toBeLessThanOrEqual(0.01);
  });

  it.each(["RX", "RZ", "XZ"] as const)("correlation of %s, from u of their sum [U1]", (pair) => {
    const [one, other] = [sensitivities[pair[0] as "R"], sensitivities[pair[1] as "R"]];
    const [u1, u2, u12] = [uOf(one), uOf(other), uOf(one.map((factor, index) => factor + other[index]!))];
    expect(((u12 ** 2 - u1 ** 2 - u2 ** 2) / (2 * u1 * u2)).toFixed(3)).toBe(published.correlation[pair].toFixed(3));
  });
});

describe("EA-4/02, S11, a block calibrator at 180 °C, by Monte Carlo", () => {
  it("has k = 1.81 where Student's would be 2.00 [U16, U22]", () => {
    const lines = block.budget.map(({ quantity, u_mK, distribution, c }) => ({
      name: quantity,
      u: u_mK,
      sensitivity: c,
      distribution: distribution as Distribution,
    }));
    const simulated = unwrap(
      simulate(
        (x) => x.reduce((sum, value, index) => sum + lines[index]!.sensitivity * value, 0),
        lines.map(({ name, u, distribution }) => ({ name, u, distribution })),
        { trials: 1_000_000, seed, level: 0.95 },
      ),
    );
    const half = (simulated.interval[1] - simulated.interval[0]) / 2;
    // The trapezoid of the example has k = 1.81 (from memory) or 1.80 (its formula); the whole budget has 1.83.
    expect(off(half / simulated.u, 1.83)).toBeLessThanOrEqual(0.01);
    expect(off(half, 301)).toBeLessThanOrEqual(1.5);
    expect((half / 1000).toFixed(2)).toBe(block.published.U_C.toFixed(2));
    expect(validatePropagation({ value: 0, u: 164, U: 328 }, simulated)).toMatchObject({
      agreement: "disagrees",
      delta: 5,
    });
  });
});

describe("distributions", () => {
  // Standard deviation, mean and the ends of the whole distribution, in standard uncertainties (JCGM 101:2008, 6.4).
  it.each<[Distribution, number, number | undefined]>([
    ["rectangular", Math.sqrt(3), undefined],
    ["triangular", Math.sqrt(6), undefined],
    ["trapezoid", Math.sqrt(6), 0],
    ["trapezoid", Math.sqrt(6 / 1.25), undefined],
    ["trapezoid", Math.sqrt(3), 1],
    ["u-shaped", Math.SQRT2, undefined],
  ])("%s lies within ±%d u, shape %s [U16]", (distribution, half, shape) => {
    const input = { name: "x", value: 7, u: 0.5, distribution, ...(shape === undefined ? {} : { shape }) };
    const result = unwrap(simulate((x) => x[0]!, [input], { trials: 200_000, seed, level: 0.9999 }));
    expect(off(result.mean, 7)).toBeLessThanOrEqual(0.004);
    expect(off(result.u, 0.5)).toBeLessThanOrEqual(0.002);
    expect(result.interval[0]).toBeGreaterThanOrEqual(7 - 0.5 * half);
    expect(result.interval[1]).toBeLessThanOrEqual(7 + 0.5 * half);
    expect(result.interval[1]).toBeGreaterThan(7 + 0.5 * half * 0.97);
  });

  it("a trapezoid is the sum of two rectangles (EA-4/02, S10.13: its coverage factor) [U16]", () => {
    const [wide, narrow] = [3, 1];
    const beta = (wide - narrow) / (wide + narrow);
    const level = 0.9545;
    const k = (1 - Math.sqrt((1 - level) * (1 - beta ** 2))) / Math.sqrt((1 + beta ** 2) / 6);
    const trapezoid = [{ name: "x", u: 1, distribution: "trapezoid" as const, shape: beta }];
    expect(
      off(unwrap(simulate((x) => x[0]!, trapezoid, { trials: 500_000, seed, level })).interval[1], k),
    ).toBeLessThanOrEqual(0.01);
    const two = [wide, narrow].map((half, index) => ({
      name: `${index}`,
      u: half / Math.sqrt(3),
      distribution: "rectangular" as const,
    }));
    const u = Math.sqrt((wide ** 2 + narrow ** 2) / 3);
    expect(
      off(unwrap(simulate((x) => x[0]! + x[1]!, two, { trials: 500_000, seed, level })).interval[1] / u, k),
    ).toBeLessThanOrEqual(0.01);
  });
});

describe("correlated inputs", () => {
  const pair = (distribution: Distribution) => [
    { name: "a", u: 1, value: 5, distribution },
    { name: "b", u: 2, distribution },
  ];

  it.each<Distribution>(["rectangular", "student", "u-shaped", "normal"])(
    "that are wholly common cancel or add to the digit: %s [U19]",
    (distribution) => {
      const correlations = [{ a: "a", b: "b", r: 1 }];
      const settings = { trials: 20_000, seed, correlations };
      expect(unwrap(simulate((x) => 2 * x[0]! - x[1]!, pair(distribution), settings)).u).toBeLessThan(1e-12);
      const against = { ...settings, correlations: [{ a: "a", b: "b", r: -1 }] };
      expect(unwrap(simulate((x) => 2 * x[0]! + x[1]!, pair(distribution), against)).u).toBeLessThan(1e-12);
    },
  );

  it("have the covariance that was declared, three of them [U19]", () => {
    const inputs = ["a", "b", "c"].map((name, index) => ({ name, u: index + 1 }));
    const correlations = [
      { a: "a", b: "b", r: 0.5 },
      { a: "b", b: "c", r: -0.3 },
      { a: "a", b: "c", r: 0.2 },
    ];
    const u = (factors: readonly number[]): number =>
      unwrap(
        simulate((x) => x.reduce((sum, value, index) => sum + factors[index]! * value, 0), inputs, {
          trials: 200_000,
          seed,
          correlations,
        }),
      ).u;
    for (const factors of [
      [1, 1, 0],
      [0, 1, 1],
      [1, 0, -1],
      [1, 1, 1],
      [1, 0, 0],
    ]) {
      const lines = inputs.map((input, index) => ({ ...input, sensitivity: factors[index]! }));
      expect(off(u(factors) / unwrap(combine({ lines, correlations })).u, 1)).toBeLessThanOrEqual(0.01);
    }
  });

  it("of other distributions, or half-way tied, are refused by name [U6, U19]", () => {
    const settings = { trials: 5000, seed };
    for (const [inputs, r] of [
      [pair("rectangular"), 0.5],
      [
        [
          { name: "a", u: 1 },
          { name: "b", u: 1, distribution: "rectangular" as const },
        ],
        1,
      ],
    ] as const) {
      expect(simulate((x) => x[0]!, inputs, { ...settings, correlations: [{ a: "a", b: "b", r }] })).toMatchObject({
        ok: false,
        fault: { code: "uncertainty.invalid", data: { name: "b" } },
      });
    }
  });
});

describe("what cannot be simulated [U6]", () => {
  const inputs = [{ name: "x", value: 1, u: 1 }];
  const settings = { trials: 5000, seed };

  it("a model that has no answer in some trials says in how many", () => {
    const outcome = simulate((x) => Math.sqrt(x[0]!), inputs, settings);
    expect(outcome).toMatchObject({
      ok: false,
      fault: { code: "uncertainty.invalid", message: expect.stringMatching(/no finite answer in \d+ of 5000 trials/) },
    });
    // 15.87 % of a normal quantity lie below 0 here.
    const refused = outcome.ok ? 0 : Number(outcome.fault.data?.["refused"]);
    expect(off(refused / 5000, 0.1587)).toBeLessThanOrEqual(0.02);
  });

  it.each([
    [inputs, { ...settings, trials: 999 }],
    [inputs, { ...settings, trials: 1e8 }],
    [inputs, { ...settings, trials: 5000.5 }],
    [inputs, { ...settings, trials: Number.NaN }],
    [inputs, { ...settings, seed: Number.NaN }],
    [inputs, { ...settings, seed: Number.POSITIVE_INFINITY }],
    [inputs, { ...settings, level: 0 }],
    [inputs, { ...settings, level: 1 }],
    [inputs, { ...settings, level: Number.NaN }],
    [inputs, { ...settings, trials: "adaptive" as const, level: 0.999999 }],
    [inputs, { ...settings, limits: {} }],
    [[], settings],
    [[{ name: "x", u: -1 }], settings],
    [[{ name: "x", u: Number.NaN }], settings],
    [[{ name: "x", u: 1, value: Number.POSITIVE_INFINITY }], settings],
    [[{ name: "x", u: 1, dof: 0 }], settings],
    [[{ name: "x", u: 1, distribution: "trapezoid" as const, shape: 2 }], settings],
    [[{ name: "x", u: 1e308 }], settings],
  ])("%j %j", (quantities, given) => {
    expect(simulate((x) => 10 * x[0]!, quantities, given)).toMatchObject({
      ok: false,
      fault: { code: "uncertainty.invalid" },
    });
  });

  it("an input without uncertainty is no obstacle, nor are -0 and very many degrees of freedom", () => {
    const still = unwrap(
      simulate(
        (x) => x[0]! + x[1]!,
        [
          { name: "x", u: 0, value: 3 },
          { name: "y", u: -0 },
        ],
        settings,
      ),
    );
    expect(still).toMatchObject({ mean: 3, u: 0, interval: [3, 3], shortest: [3, 3] });
    const many = unwrap(
      simulate((x) => x[0]!, [{ name: "x", u: 1, dof: 1e308, distribution: "student" }], {
        ...settings,
        trials: 100_000,
      }),
    );
    expect(off(many.u, 1)).toBeLessThanOrEqual(0.01);
  });
});
