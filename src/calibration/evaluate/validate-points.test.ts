import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "#thermometry";
import type { JobInput } from "../job/job.ts";
import { evaluate } from "./evaluate.ts";
import {
  InventedRun,
  inventedJob,
  inventedKit,
  resistor,
  thermocouple,
  transmitter,
} from "./invented-run.test-support.ts";
import { pointModel, type PointModelDescription } from "./point-model.ts";
import {
  notValidated,
  pointSimulations,
  simulatePoint,
  simulationAgain,
  validatePoint,
  validatePoints,
  validationOf,
  type ValidatedPoint,
} from "./validate-points.ts";

const runOf = (item: JobInput["items"][number], changes: Partial<JobInput> = {}) => {
  const run = new InventedRun(inventedJob({ items: [item], ...changes })).begin();
  return run
    .measure({ point: 0, noise: 0.003, errors: [0.1] })
    .measure({ point: 1, noise: 0.003, errors: [0.1] })
    .end();
};

const validations = (log: ReturnType<typeof runOf>, settings = {}): ValidatedPoint[] =>
  validatePoints(log, evaluate(log), settings).map((validation) => {
    if (validation.status !== "validated") throw new Error(validation.reason);
    return validation;
  });

/** One trial of a model, by the deviations of named inputs. */
const atDeviations = (description: PointModelDescription, deviations: Readonly<Record<string, number>>): number => {
  const { model, inputs } = unwrap(pointModel(description));
  const columns = inputs.map(({ name }) => Float64Array.of(deviations[name] ?? 0));
  const into = new Float64Array(1);
  model.fill(columns, into);
  return into[0]!;
};

describe("the model of a point [C39]", () => {
  const descriptions = [resistor, thermocouple, transmitter].map((item) => {
    const log = runOf(item);
    return { item, simulation: pointSimulations(log, evaluate(log))[1]! };
  });

  it.each(descriptions)("answers the reported error where nothing deviates: $item.description", ({ simulation }) => {
    expect(atDeviations(simulation.description, {})).toBeCloseTo(simulation.measured.error.value, 12);
  });

  it.each(descriptions)("has the slopes of the budget for small deviations: $item.description", ({ simulation }) => {
    for (const line of simulation.measured.budget.lines) {
      const step = 1e-4 * Math.max(line.u, 1e-3);
      const change =
        atDeviations(simulation.description, { [line.id]: step }) -
        atDeviations(simulation.description, { [line.id]: -step });
      expect([line.id, (change / (2 * step) / line.sensitivity).toFixed(3)]).toEqual([line.id, "1.000"]);
    }
  });

  it("takes signals through the sensors' own equations, junction included, and not through slopes", () => {
    const { description } = descriptions[1]!.simulation;
    const shifted = { "item.readout": 0.8, "item.junction": 15, "reference.readout": 5 };
    const t = (signal: number, coldJunction: number): number =>
      unwrap(temperatureOf(description.itemSensor, signal, { coldJunction })).temperature;
    const reference = (signal: number): number =>
      unwrap(temperatureOf(description.referenceSensor, signal)).temperature;
    const { signal, junction, referenceSignal, error } = description;
    const wanted =
      error +
      t(signal + 0.8, junction! + 15) -
      t(signal, junction!) -
      (reference(referenceSignal + 5) - reference(referenceSignal));
    expect(atDeviations(description, shifted)).toBeCloseTo(wanted, 10);
  });
});

describe("validation of the points of a run, JCGM 101:2008, clause 8 [C40]", () => {
  it.each([resistor, thermocouple, transmitter])("has the mean and u of the budget: $description", (item) => {
    for (const { propagation, monteCarlo, check, words } of validations(runOf(item), { trials: 100_000 })) {
      expect(Math.abs(monteCarlo.mean - propagation.error)).toBeLessThan(0.02 * propagation.u);
      expect(monteCarlo.u / propagation.u).toBeCloseTo(1, 1);
      expect(check.interval).toEqual([propagation.error - propagation.U, propagation.error + propagation.U]);
      expect(words.length).toBeGreaterThan(60);
    }
  });

  it("disagrees, on the safe side, where one rectangle rules the budget", () => {
    const [, hundred] = validations(runOf({ ...resistor, contributions: { inhomogeneity: 1 } }));
    expect(hundred!.check.agreement).toBe("disagrees");
    expect(hundred!.words).toMatch(/disagree: .* by propagation, .* by Monte Carlo; .*errs on the safe side/);
    expect(hundred!.monteCarlo.interval[1]).toBeLessThan(hundred!.check.interval[1]);
  });

  it("disagrees, on the dangerous side, where a strongly bent equation is asked over a wide stretch", () => {
    // A thermistor at 100 °C has 34 Ω here; ±12 Ω of readout lets its temperature run away to one side.
    const thermistor: JobInput["items"][number] = {
      ...resistor,
      sensor: { kind: "thermistor", equation: "steinhart-hart", a: 1.1e-3, b: 3.3e-4, c: 2e-8 },
      tolerance: { kelvin: 50 },
    };
    const signal = unwrap(signalOf(thermistor.sensor as never, 100)).signal;
    const poor = inventedKit.readout.accuracy.map((row) =>
      row.unit === "Ω" ? { ...row, upTo: 1e9, percentOfReading: 35 } : row,
    );
    const kit = {
      ...inventedKit,
      readout: { ...inventedKit.readout, accuracy: poor },
      reference: { ...inventedKit.reference, range: { minimum: -100, maximum: 400 } },
    };
    const shown = { instrument: "display", input: 1, unit: "Ω" } as const;
    const base = inventedJob();
    const bench = { ...base.bench, channels: { ...base.bench.channels, reference: shown } };
    const log = runOf(thermistor, { kit, bench });
    const [, hundred] = validations(log);
    expect(signal).toBeGreaterThan(0);
    expect(hundred!.check.agreement).toBe("disagrees");
    expect(hundred!.words).toMatch(/too narrow at one end or both; state the one by Monte Carlo/);
  });

  it("agrees where all is normal and enough trials are made, and says when there are too few to tell", () => {
    const quiet = {
      ...inventedKit,
      reference: {
        ...inventedKit.reference,
        calibration: { ...inventedKit.reference.calibration, uncertainty: 2 },
        driftPerYear: 0,
      },
    };
    const log = runOf(resistor, { kit: quiet });
    const enough = validations(log, { trials: 1_000_000 })[1]!;
    expect(enough.check.agreement).toBe("agrees");
    expect(enough.words).toMatch(/1000000 trials\) agree: .* within δ/);
    const few = validations(log, { trials: 2000 })[1]!;
    expect(few.check.agreement).toBe("open");
    expect(few.words).toMatch(/^Not decided: .* 2000 trials .* Take more trials\.$/);
  });

  it("same log, same digits; another seed, others; each point its own stream", () => {
    const log = runOf(resistor);
    const first = validations(log);
    expect(validations(log)).toEqual(first);
    expect(first.map(({ monteCarlo }) => monteCarlo.trials)).toEqual([20_000, 20_000]);
    expect(validations(log, { seed: 5 })[0]!.monteCarlo.u).not.toBe(first[0]!.monteCarlo.u);
    expect(first[0]!.monteCarlo.seed).not.toBe(first[1]!.monteCarlo.seed);
    const named = log.map((event) => (event.kind === "run-opened" ? { ...event, run: "another" } : event));
    expect(validations(named)[0]!.monteCarlo.seed).not.toBe(first[0]!.monteCarlo.seed);
  });

  it("counts the trials within the tolerance", () => {
    const [, hundred] = validations(runOf({ ...resistor, tolerance: { kelvin: 0.12 } }), { trials: 100_000 });
    const result = evaluate(runOf({ ...resistor, tolerance: { kelvin: 0.12 } })).items[0]!.passes[0]!.points[1]!;
    const stated = result.status === "measured" ? result.conformity!.conformanceProbability : Number.NaN;
    expect(hundred!.monteCarlo.conformanceProbability).toBeLessThan(1);
    expect(Math.abs(hundred!.monteCarlo.conformanceProbability! - stated)).toBeLessThan(0.05);
  });

  it("leaves out what was not measured, and refuses the result of another run", () => {
    const log = new InventedRun(inventedJob()).begin().measure({ point: 0 }).end();
    const result = evaluate(log);
    expect(validatePoints(log, result).map(({ point }) => point)).toEqual([0]);
    expect(() => validatePoints(log, { ...result, run: "other" })).toThrow(
      expect.objectContaining({ code: "input.invalid" }),
    );
  });

  it("says of a point whose trials leave the sensor's range that it could not be validated", () => {
    const log = runOf(resistor);
    const [simulation] = pointSimulations(log, evaluate(log));
    const inputs = simulation!.description.inputs.map((input) =>
      input.id === "item.readout" ? { ...input, u: 1e4 } : input,
    );
    const outside = { ...simulation!, description: { ...simulation!.description, inputs } };
    expect(validationOf(outside, simulatePoint(outside))).toMatchObject({
      item: "item-pt",
      pass: "as-found",
      point: 0,
      nominal: 0,
      status: "not-validated",
      code: "uncertainty.invalid",
      reason: expect.stringMatching(/no finite answer in \d+ of 10000 trials/),
    });
    const sensor = { ...simulation!.description.itemSensor, r0: -1 } as PointModelDescription["itemSensor"];
    const impossible = { ...simulation!, description: { ...simulation!.description, itemSensor: sensor } };
    expect(validationOf(impossible, simulatePoint(impossible))).toMatchObject({ code: "thermometry.invalid" });
  });
});

describe("a validation that decides [C45]", () => {
  const log = runOf(thermocouple);
  const result = evaluate(log);

  it("makes the same digits from the same log, and leaves the result as it is", () => {
    const before = JSON.stringify(result);
    expect(validations(log, { trials: "decisive" })).toEqual(validations(log, { trials: "decisive" }));
    expect(JSON.stringify(result)).toBe(before);
    for (const { check } of validations(log, { trials: "decisive" })) expect(check.agreement).not.toBe("open");
  });

  it("takes more trials where a point stays open, so many that an end's doubt is half of what is to be told", () => {
    const [simulation] = pointSimulations(log, result, { trials: 1000 });
    const few = validationOf(simulation!, simulatePoint(simulation!));
    if (few.status !== "validated") throw new Error(few.reason);
    const open = {
      ...few,
      check: {
        ...few.check,
        agreement: "open" as const,
        delta: 0.01,
        dLow: 0.002,
        dHigh: 0.014,
        endDeviations: [0.004, 0.004] as const,
      },
    };
    const again = simulationAgain(simulation!, open, { trials: "decisive" });
    // Below: 2·0.004 has to be half of 0.01, above half of 0.014 − 0.01, so a quarter of it: 4² times the trials.
    expect(again!.settings.trials).toBe(16_000);
    expect({ ...again!.settings, trials: 1000 }).toEqual(simulation!.settings);
    expect(simulationAgain(simulation!, open, { trials: "adaptive" })).toBeUndefined();
    expect(simulationAgain(simulation!, few, { trials: "decisive" })).toBeUndefined();
    const needed = (check: Partial<ValidatedPoint["check"]>): number | undefined =>
      simulationAgain(simulation!, { ...open, check: { ...open.check, ...check } }, { trials: "decisive" })?.settings
        .trials as number | undefined;
    // Well within δ below, its doubt has to come below δ: (4·0.004/0.01)²; above, (4·0.004/0.02)² would do.
    for (const check of [{ dHigh: 0.03 }, { dLow: 0.01, dHigh: 0 }])
      expect(Math.abs(needed(check)! - 2560)).toBeLessThanOrEqual(1);
    // A doubt that is small enough already asks for nothing.
    expect(needed({ dHigh: 0, endDeviations: [0.001, 0.001] })).toBeUndefined();
    const decided = { ...open, check: { ...open.check, agreement: "agrees" as const } };
    expect(simulationAgain(simulation!, decided, { trials: "decisive" })).toBeUndefined();
    const none = { ...few, status: "not-validated" as const, code: "x", reason: "y" };
    expect(simulationAgain(simulation!, none, { trials: "decisive" })).toBeUndefined();
    const hopeless = { ...open, check: { ...open.check, dHigh: 0.01 + 1e-9 } };
    expect(simulationAgain(simulation!, hopeless, { trials: "decisive" })!.settings.trials).toBe(2_000_000);
  });

  it("is made once more where the first leaves it open", () => {
    const { calibration } = inventedKit.reference;
    const normal = { ...inventedKit.reference, calibration: { ...calibration, uncertainty: 2 }, driftPerYear: 0 };
    const wide = runOf(resistor, { kit: { ...inventedKit, reference: normal } });
    const simulation = pointSimulations(wide, evaluate(wide), { trials: 2000 })[1]!;
    const first = validatePoint(simulation, { trials: 2000 });
    const again = validatePoint(simulation, { trials: "decisive" });
    if (first.status !== "validated" || again.status !== "validated") throw new Error("not validated");
    expect(first.check.agreement).toBe("open");
    expect(first.monteCarlo.trials).toBe(2000);
    expect(again.monteCarlo.trials).toBeGreaterThan(2000);
  });

  it("names every measured point where it is not made, with the reason", () => {
    const none = notValidated(log, result, { code: "uncertainty.cancelled", message: "Stopped." });
    expect(none).toMatchObject([
      { point: 0, status: "not-validated", code: "uncertainty.cancelled", reason: "Stopped." },
      { point: 1, status: "not-validated", code: "uncertainty.cancelled", reason: "Stopped." },
    ]);
  });
});
