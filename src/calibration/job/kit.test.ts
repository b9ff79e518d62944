import { describe, expect, it } from "vitest";
import { inventedKit } from "../evaluate/invented-run.test-support.ts";
import {
  accuracySchema,
  kitCalibrationSchema,
  kitSchema,
  readoutSchema,
  referenceSchema,
  sourceSchema,
} from "./kit.ts";

const { reference, readout, source } = inventedKit;
type Schema = { safeParse(value: unknown): { error?: { issues: readonly { path: PropertyKey[] }[] } | undefined } };
const refusedAt = (schema: Schema, value: unknown): string | undefined =>
  schema.safeParse(value).error?.issues[0]?.path.map(String).join(".");

describe("the kit", () => {
  it("is kept as it was written, defaults written out", () => {
    const parsed = kitSchema.parse(inventedKit);
    expect(parsed).toMatchObject(inventedKit);
    expect(parsed.reference).toMatchObject({ revision: 1, calibration: { k: 2 } });
    expect(parsed.readout).toMatchObject({ revision: 1, calibration: { k: 2 } });
    const { interpolation: _i, selfHeating: _s, ...bare } = reference;
    expect(referenceSchema.parse(bare)).toMatchObject({ interpolation: 0, selfHeating: 0 });
    const { loading: _l, ...still } = source;
    expect(sourceSchema.parse(still)).toMatchObject({ loading: 0, revision: 1 });
    expect(accuracySchema.parse({ unit: "Ω" })).toEqual({ unit: "Ω", percentOfReading: 0, absolute: 0, resolution: 0 });
  });

  it("has its texts without blanks around them, and not none at all", () => {
    expect(referenceSchema.parse({ ...reference, serial: " 7 " }).serial).toBe("7");
    expect(refusedAt(referenceSchema, { ...reference, serial: "  " })).toBe("serial");
  });
});

describe("a reference", () => {
  const calibrated = (change: object) => ({ ...reference, calibration: { ...reference.calibration, ...change } });
  const value = { temperature: 0, signal: 100.012 };

  it.each([
    ["revision", { ...reference, revision: 0 }],
    ["driftPerYear", { ...reference, driftPerYear: -0.01 }],
    ["diameter", { ...reference, diameter: 0 }],
    ["immersion", { ...reference, immersion: 0 }],
    ["range.maximum", { ...reference, range: { minimum: 0 } }],
    ["fastestRamp", { ...reference, fastestRamp: 0 }],
    ["conduction", { ...reference, conduction: -0.1 }],
    ["evidence", { ...reference, evidence: { drift: "a test" } }],
    ["evidence.selfHeating", { ...reference, evidence: { selfHeating: " " } }],
    ["unit", { ...reference, unit: "contact" }],
    ["", { ...reference, colour: "red" }],
    ["calibration.uncertainty", calibrated({ uncertainty: undefined })],
    ["calibration.k", calibrated({ k: 0 })],
    ["calibration.due", calibrated({ due: "next year" })],
    ["calibration.checkValues", calibrated({ checkValues: [] })],
    ["calibration.checkValues.0.digits", calibrated({ checkValues: [{ ...value, digits: -1 }] })],
    ["calibration.checkValues.0.digits", calibrated({ checkValues: [{ ...value, digits: 16 }] })],
    ["calibration.checkValues.0.digits", calibrated({ checkValues: [{ ...value, digits: 2.5 }] })],
    ["calibration.checkValues.0.signal", calibrated({ checkValues: [{ temperature: 0 }] })],
    ["calibration.coefficients.names", calibrated({ coefficients: { names: [], covariance: [[1]] } })],
    ["calibration.coefficients.covariance", calibrated({ coefficients: { names: ["r0"], covariance: [] } })],
    ["calibration.coefficients", calibrated({ coefficients: { names: ["r1"], covariance: [[1e-6]] } })],
  ])("is refused at %s", (path, wrong) => expect(refusedAt(referenceSchema, wrong)).toBe(path));

  it("may bring the check values and the covariance of its report", () => {
    const brought = {
      checkValues: [value, { ...value, digits: 0 }, { ...value, digits: 15 }],
      coefficients: {
        names: ["r0", "a"],
        covariance: [
          [1e-6, 0],
          [0, 1e-14],
        ],
      },
    };
    expect(referenceSchema.parse(calibrated(brought)).calibration).toMatchObject(brought);
  });

  it("may say what its stem loses, how fast it may go, and by which test a figure was found", () => {
    const said = {
      conduction: [{ temperature: 0, value: 0.01 }],
      fastestRamp: 5,
      evidence: { selfHeating: "two currents", conduction: "pull test", sensor: "ice point", sensorOn: "2026-02-03" },
    };
    expect(referenceSchema.parse({ ...reference, ...said })).toMatchObject(said);
  });

  it("says why its covariance cannot be", () => {
    const wrong = calibrated({ coefficients: { names: ["r1"], covariance: [[1e-6]] } });
    expect(referenceSchema.safeParse(wrong).error!.issues[0]!.message).toMatch(/no coefficient "r1"/);
  });
});

describe("a readout and a source", () => {
  it.each([
    ["accuracy", { ...readout, accuracy: [] }],
    ["accuracy.0.upTo", { ...readout, accuracy: [{ unit: "Ω", upTo: 0 }] }],
    ["accuracy.0.resolution", { ...readout, accuracy: [{ unit: "Ω", resolution: -1 }] }],
    ["accuracy.0.absolute", { ...readout, accuracy: [{ unit: "Ω", absolute: -1 }] }],
    ["accuracy.0.percentOfReading", { ...readout, accuracy: [{ unit: "Ω", percentOfReading: -1 }] }],
    ["accuracy.0.unit", { ...readout, accuracy: [{ unit: "contact" }] }],
  ])("readout: refused at %s", (path, wrong) => expect(refusedAt(readoutSchema, wrong)).toBe(path));

  it("a readout needs no U: its accuracy says it", () => {
    expect(kitCalibrationSchema.parse(readout.calibration)).toEqual({ ...readout.calibration, k: 2 });
  });

  it.each([
    ["class", { ...source, class: "oven" }],
    ["stability", { ...source, stability: -0.1 }],
    ["depth", { ...source, depth: 0 }],
    ["characterised", { ...source, characterised: "last year" }],
    ["evidence", { ...source, evidence: { depth: "a ruler" } }],
    ["control", { ...source, control: [] }],
    ["control.0.U", { ...source, control: [{ temperature: 0, error: 0, U: -1 }] }],
    ["control.0.hysteresis", { ...source, control: [{ temperature: 0, error: 0, U: 1, hysteresis: -1 }] }],
    ["wells", { ...source, wells: [] }],
    ["wells.0.count", { ...source, wells: [{ diameter: 6, count: 0 }] }],
    ["wells.0.diameter", { ...source, wells: [{ diameter: 0 }] }],
    ["wells.0.depth", { ...source, wells: [{ diameter: 6, depth: 0 }] }],
    ["rates.heating", { ...source, rates: { heating: -1 } }],
    ["rates.rest", { ...source, rates: { rest: 0 } }],
    ["rates.cooldown", { ...source, rates: { cooldown: 0 } }],
    ["rates", { ...source, rates: { waiting: 1 } }],
  ])("source: refused at %s", (path, wrong) => expect(refusedAt(sourceSchema, wrong)).toBe(path));

  it("a source may say its wells and how fast it moves", () => {
    const said = {
      depth: 160,
      characterised: "2026-02-01",
      evidence: { stability: "a", axial: "b", radial: "c", loading: "d" },
      control: [
        { temperature: 0, error: -0.1, U: 0 },
        { temperature: 100, error: 0.2, U: 0.1, hysteresis: 0 },
      ],
      wells: [{ diameter: 6 }, { diameter: 8, depth: 120, count: 3 }],
      rates: { heating: 5, cooling: [{ temperature: 0, value: 2 }], rest: 4, cooldown: 60 },
    };
    expect(sourceSchema.parse({ ...source, ...said })).toMatchObject({
      ...said,
      wells: [
        { diameter: 6, count: 1 },
        { diameter: 8, depth: 120, count: 3 },
      ],
    });
  });
});
