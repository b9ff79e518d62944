import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, type Sensor } from "#thermometry";
import { coefficientBand } from "../fit/fit-band.ts";
import { jobSchema, type JobInput } from "../job/job.ts";
import type { FittedItem, PassResult } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { tableTemperatures } from "./fitted-item.ts";
import {
  InventedRun,
  inventedJob,
  inventedKit,
  resistor,
  thermocouple,
  transmitter,
} from "./invented-run.test-support.ts";

const procedure = (points: readonly number[], fit: JobInput["procedure"]["fit"]): JobInput["procedure"] => ({
  method: { identifier: "DEMO-T1", revision: "1", title: "Comparison in a block" },
  points: points.map((temperature) => ({ temperature })),
  decision: { kind: "simple" },
  ...(fit === undefined ? {} : { fit }),
});

const passOf = (
  item: JobInput["items"][number],
  points: readonly number[],
  fit: JobInput["procedure"]["fit"],
  error: (temperature: number) => number = () => 0,
  skip: readonly number[] = [],
): PassResult => {
  const run = new InventedRun(inventedJob({ items: [item], procedure: procedure(points, fit) })).begin();
  points.forEach((temperature, point) => {
    if (skip.includes(point)) run.add({ kind: "point-skipped", pass: "as-found", point, reason: "demo", by: "demo" });
    else run.measure({ point, errors: [error(temperature)], noise: 0.002, places: 5 });
  });
  return evaluate(run.end()).items[0]!.passes[0]!;
};
const fittedOf = (...given: Parameters<typeof passOf>): FittedItem => {
  const { fit } = passOf(...given);
  if (fit?.status !== "fitted") throw new Error(JSON.stringify(fit));
  return fit;
};

describe("a fitted item", () => {
  const points = [-30, 0, 50, 100, 200, 300];
  const fit = fittedOf(resistor, points, { model: "callendar-van-dusen" }, (t) => 0.05 + 1e-4 * t);

  it("has the coefficients of its own curve, not those of its class [C36]", () => {
    expect(fit.coefficients.map(({ name, unit }) => [name, unit])).toEqual([
      ["r0", "Ω"],
      ["a", "°C⁻¹"],
      ["b", "°C⁻²"],
      ["c", "°C⁻⁴"],
    ]);
    // It gives at t what its class gives at t + error.
    for (const t of [-20, 25, 150, 280]) {
      const truth = unwrap(signalOf(resistor.sensor as Sensor, t + 0.05 + 1e-4 * t)).signal;
      expect(Math.abs(unwrap(signalOf(fit.sensor!, t)).signal - truth)).toBeLessThan(0.0015);
    }
    expect(fit.unit).toBe("Ω");
    expect(fit.degreesOfFreedom).toBe(2);
  });

  it("has residuals at its points and says the largest, in K [C36]", () => {
    expect(fit.residuals.map(({ nominal }) => nominal)).toEqual(points);
    expect(fit.largestResidual).toBe(Math.max(...fit.residuals.map(({ kelvin }) => Math.abs(kelvin))));
    expect(fit.largestResidual).toBeLessThan(0.002);
    for (const { residual, kelvin } of fit.residuals) expect(residual / kelvin).toBeCloseTo(0.38, 1);
  });

  it("has a table whose U is about that of its points: what they share is not averaged away [C36]", () => {
    const pass = passOf(resistor, points, { model: "callendar-van-dusen" });
    const measured = pass.points.filter((point) => point.status === "measured");
    if (pass.fit?.status !== "fitted") throw new Error("not fitted");
    for (const point of measured) {
      const row = pass.fit.table.find(({ temperature }) => temperature === point.nominal)!;
      expect(row.U / point.budget.U).toBeGreaterThan(0.9);
      expect(row.U / point.budget.U).toBeLessThan(1.02);
    }
    expect(pass.fit.table.length).toBeLessThanOrEqual(60);
    expect(pass.fit.table[0]!.temperature).toBe(-30);
    expect(pass.fit.table.at(-1)!.temperature).toBe(300);
  });

  it("prints the table to the second digit of U [C36]", () => {
    const row = fit.table.find(({ temperature }) => temperature === 100)!;
    expect(row.reported.temperature).toBe("100");
    expect(row.reported.U).toMatch(/^0\.0\d\d$/);
    expect(row.reported.signal).toMatch(/^138\.\d{3}$/);
    expect(fit.k).toBeCloseTo(2, 4);
  });

  it("prints temperatures with the places that they have [C36]", () => {
    const odd = fittedOf(resistor, [-38.8344, 0.5, 50, 150], { model: "callendar-van-dusen" });
    const printed = odd.table.map(({ temperature, reported }) => [temperature, reported.temperature]);
    expect(printed[0]).toEqual([-38.8344, "-38.834"]);
    expect(printed.at(-1)).toEqual([150, "150"]);
    const half = fittedOf(resistor, [0.5, 50, 100, 150.5], { model: "callendar-van-dusen" });
    expect(half.table[0]!.reported.temperature).toBe("0.5");
    expect(half.coefficients.map(({ standardError }) => standardError > 0)).toEqual([true, true, true]);
  });

  it("survives JSON, and names its log lines [C36]", () => {
    expect(JSON.parse(JSON.stringify(fit))).toEqual(fit);
    expect(fit.origin.length).toBeGreaterThan(points.length);
  });

  it("of a thermocouple is its deviation, the junction at 0 °C [C36]", () => {
    const deviation = fittedOf(
      thermocouple,
      [0, 100, 200, 300],
      { model: "thermocouple-deviation", degree: 1 },
      () => 0.5,
    );
    expect(deviation.sensor).toMatchObject({ kind: "thermocouple", type: "K" });
    const at =
      unwrap(signalOf(deviation.sensor!, 200)).signal -
      unwrap(signalOf({ kind: "thermocouple", type: "K" }, 200.5)).signal;
    expect(Math.abs(at)).toBeLessThan(0.0005);
    expect(deviation.coefficients.map(({ unit }) => unit)).toEqual(["mV", "mV·°C⁻¹"]);
  });

  it("of a transmitter is a polynomial of its current [C36]", () => {
    const line = fittedOf(transmitter, [0, 50, 100, 150], { model: "polynomial", degree: 1 });
    expect(line.coefficients[0]!.value).toBeCloseTo(4, 3);
    expect(line.coefficients[1]!.value).toBeCloseTo(16 / 150, 5);
    expect(line.sensor).toBeNull();
    expect(line.unit).toBe("mA");
  });

  it("of a platinum thermometer on the ITS-90 has R(TPW) and its subrange [C36]", () => {
    const scale = fittedOf(resistor, [0, 50, 100, 150], { model: "its-90", subrange: 10 });
    expect(scale.coefficients.map(({ name }) => name)).toEqual(["rtpw", "a"]);
    expect(scale.subrange).toBe(10);
  });

  it.each([
    ["too few points", resistor, { model: "callendar-van-dusen" as const }, [0], /do not determine/],
    [
      "the wrong kind of sensor",
      transmitter,
      { model: "callendar-van-dusen" as const },
      [],
      /platinum thermometers, and TT-303 is none/,
    ],
    ["nothing measured", resistor, { model: "callendar-van-dusen" as const }, [0, 1, 2], /No point was measured/],
  ])("says why there is none: %s [C36]", (_, item, asked, skipped, sentence) => {
    const pass = passOf(item, [0, 50, 100], asked, () => 0, skipped);
    expect(pass.fit).toMatchObject({ status: "not-fitted", reason: expect.stringMatching(sentence) as string });
  });

  it("is left out where no fit is asked for [C36]", () => {
    expect(passOf(resistor, [0, 100], undefined)).not.toHaveProperty("fit");
  });
});

describe("temperatures of the table", () => {
  it.each([
    [0, 400, 41, 10],
    [-20, 150, 35, 5],
    [-38.8, 156.6, 41, 5],
    [0, 1200, 25, 50],
    [20, 21, 11, 0.1],
    [0, 58, 59, 1],
    [0, 20_000, 41, 500],
  ])("from %d to %d: %d rows, steps of %d", (lower, upper, count, step) => {
    const list = tableTemperatures(lower, upper);
    expect(list).toHaveLength(count);
    expect([list[0], list.at(-1)]).toEqual([lower, upper]);
    expect(list[3]! - list[2]!).toBeCloseTo(step, 9);
    expect(list.every((value, index) => index === 0 || value > list[index - 1]!)).toBe(true);
  });

  it("of a single temperature is that one", () => expect(tableTemperatures(5, 5)).toEqual([5]));
});

describe("what a procedure may ask for", () => {
  const complaints = (fit: unknown): string[] => {
    const job = inventedJob();
    const parsed = jobSchema.safeParse({ ...job, procedure: { ...job.procedure, fit } });
    return parsed.success ? [] : parsed.error.issues.map(({ path, message }) => `${path.join(".")}: ${message}`);
  };

  it("names degree and subrange where they belong", () => {
    expect(complaints({ model: "callendar-van-dusen" })).toEqual([]);
    expect(complaints({ model: "its-90", subrange: 7 })).toEqual([]);
    expect(complaints({ model: "polynomial", degree: 2 })).toEqual([]);
    expect(complaints({ model: "polynomial" })[0]).toMatch(/procedure\.fit\.degree: degree belongs/);
    expect(complaints({ model: "callendar-van-dusen", degree: 2 })[0]).toMatch(/degree belongs/);
    expect(complaints({ model: "its-90" })[0]).toMatch(/procedure\.fit\.subrange: subrange belongs/);
    expect(complaints({ model: "polynomial", degree: 1, subrange: 7 })[0]).toMatch(/subrange belongs/);
  });
});

describe("the covariance of the reference's coefficients", () => {
  const names = ["r0", "a"];
  const covariance = [
    [4e-6, -2e-11],
    [-2e-11, 1e-14],
  ];
  const kitWith = (
    coefficients: { names: string[]; covariance: number[][] },
    interpolation: number,
  ): JobInput["kit"] => ({
    ...inventedKit,
    reference: {
      ...inventedKit.reference,
      interpolation,
      calibration: { ...inventedKit.reference.calibration, coefficients },
    },
  });
  const lineOf = (kit: JobInput["kit"]) => {
    const [point] = evaluate(
      new InventedRun(inventedJob({ kit })).begin().measure({ point: 0, temperature: 100 }).end(),
    ).items[0]!.passes[0]!.points;
    if (point?.status !== "measured") throw new Error(JSON.stringify(point));
    return point.budget.lines.find(({ id }) => id === "reference.interpolation")!;
  };

  it("gives the interpolation's line, normal, through the slope at the temperature [C35]", () => {
    const line = lineOf(kitWith({ names, covariance }, 0));
    // By hand: f = (R/R0, R0·t) at 100 °C, over the slope.
    const { r0, a, b } = inventedKit.reference.sensor as { r0: number; a: number; b: number };
    const [byR0, byA] = [1 + a * 100 + b * 1e4, r0 * 100];
    const u = Math.sqrt(byR0 ** 2 * 4e-6 + byA ** 2 * 1e-14 + 2 * byR0 * byA * -2e-11);
    expect(line.u).toBeCloseTo(u / (r0 * (a + 2 * b * 100)), 8);
    expect(line.distribution).toBe("normal");
    expect(line.source).toMatch(/covariance of the coefficients of ref-7, certificate DEMO-2231/);
    const band = unwrap(coefficientBand(inventedKit.reference.sensor as Sensor, { names, covariance }));
    expect(line.u).toBeCloseTo(unwrap(band(100)).kelvin, 8);
  });

  it("goes together with limits of the kit entry where both are given [C35]", () => {
    const [alone, both] = [lineOf(kitWith({ names, covariance }, 0)), lineOf(kitWith({ names, covariance }, 0.01))];
    expect(both.u).toBeCloseTo(Math.hypot(alone.u, 0.01 / Math.sqrt(3)), 14);
    expect(both.source).toMatch(/and the limits of kit entry ref-7/);
  });

  it("is refused in the job where it cannot be [C35]", () => {
    const kit = kitWith({ names: ["r0", "q"], covariance }, 0);
    expect(() => inventedJob({ kit })).toThrow(/no coefficient \\"q\\"/);
  });
});
