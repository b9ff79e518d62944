import { describe, expect, it } from "vitest";
import { jobSchema, type Job } from "../job/job.ts";
import { parseLog } from "../log/parse-log.ts";
import { forecast } from "./forecast.ts";
import { predictedLog } from "./predicted-log.ts";

const calibration = {
  certificate: "IRL-1",
  laboratory: "Invented Reference Laboratory",
  date: "2026-03-09",
  due: "2027-03-09",
};

const jobWith = (axial: number, decision: Job["procedure"]["decision"], kelvin = 0.5): Job =>
  jobSchema.parse({
    job: "F-1",
    title: "Forecast",
    laboratory: { name: "Calder Vale Calibration", address: ["Invented Mill Lane"] },
    customer: { name: "Marrow & Finch", address: ["Invented Orchard Road"] },
    place: "Hall 2",
    technician: "Tamsin Roke",
    conditions: { ambientTemperature: { value: 22, halfWidth: 2 } },
    items: [
      {
        id: "item-1",
        tag: "TE-1",
        description: "Pt100",
        serial: "1",
        channel: "item-1",
        unit: "Ω",
        sensor: {
          kind: "platinum",
          equation: "callendar-van-dusen",
          r0: 100,
          a: 3.9083e-3,
          b: -5.775e-7,
          c: -4.183e-12,
        },
        tolerance: { kelvin },
        limits: { minimum: -50, maximum: 900 },
      },
    ],
    kit: {
      reference: {
        id: "ref",
        description: "Probe",
        serial: "2",
        channel: "reference",
        unit: "Ω",
        range: { minimum: -80, maximum: 420 },
        driftPerYear: 0.02,
        sensor: {
          kind: "platinum",
          equation: "callendar-van-dusen",
          r0: 100,
          a: 3.9083e-3,
          b: -5.775e-7,
          c: -4.183e-12,
        },
        calibration: { ...calibration, uncertainty: 0.02 },
      },
      readout: {
        id: "ro",
        description: "Readout",
        serial: "3",
        calibration,
        accuracy: [{ unit: "Ω", percentOfReading: 0.002, absolute: 0.002, resolution: 0.0001 }],
      },
      source: {
        id: "src",
        description: "Block",
        serial: "4",
        class: "dry-block",
        range: { minimum: -30, maximum: 660 },
        stability: 0.01,
        axial,
        radial: 0.02,
      },
    },
    procedure: {
      method: { identifier: "M", revision: "1", title: "Comparison" },
      points: [{ temperature: 0 }, { temperature: 100 }],
      decision,
    },
    bench: {
      instruments: [{ id: "r", entry: "scpi-thermometer-readout", at: "simulated", role: "readout" }],
      channels: {
        reference: { instrument: "r", input: 1, unit: "Ω" },
        "item-1": { instrument: "r", input: 2, unit: "Ω" },
      },
    },
  });

const options = { day: "2026-11-25", target: () => 0.1 };

describe("what a job will be able to say", () => {
  it("is the evaluation of a log that keeps the format", () => {
    const log = predictedLog(jobWith(0.05, { kind: "simple" }), options);
    expect(parseLog(log.map((event) => JSON.stringify(event)))).toEqual(log);
    expect(predictedLog(jobWith(0.05, { kind: "simple" }), options)).toEqual(log);
  });

  it("grows with what the kit states, and names the largest part", () => {
    const [small, large] = [0.05, 0.2].map(
      (axial) => forecast(jobWith(axial, { kind: "simple" }), options).items[0]!.points[1]!,
    );
    expect(large!.expectedU!).toBeGreaterThan(2 * small!.expectedU!);
    expect(large!.dominant[0]!.share).toBeGreaterThan(0.5);
    expect(large!.dominant[0]!.name).toContain("along");
    expect(large!.ratio).toBeCloseTo(0.5 / large!.expectedU!, 12);
    // u of the axial line alone is 0.2/√3 = 0.115 K (GUM 4.3.7), so U at k = 2 cannot be less than 0.23 K.
    expect(large!.expectedU!).toBeGreaterThan(0.23);
  });

  it("does not take a round value for a coarse one where no digit is stated", () => {
    const job = jobWith(0.05, { kind: "simple" });
    const { readout } = job.kit;
    const accuracy = readout.accuracy.map((row) => ({ ...row, resolution: 0 }));
    const silent = { ...job, kit: { ...job.kit, readout: { ...readout, accuracy } } };
    const [at0] = forecast(silent, options).items[0]!.points;
    // 100 Ω at 0 °C has no digit after the point, and is known to far better than 1 Ω.
    expect(at0!.expectedU!).toBeLessThan(1.01 * forecast(job, options).items[0]!.points[0]!.expectedU!);
  });

  it("gives the reason in place of figures where a point cannot be evaluated", () => {
    const job = jobWith(0.05, { kind: "simple" });
    const hot = { ...job, procedure: { ...job.procedure, points: [{ temperature: 0 }, { temperature: 900 }] } };
    const [cold, beyond] = forecast(hot, options).items[0]!.points;
    expect(cold!.expectedU).not.toBeNull();
    expect(beyond).toMatchObject({ expectedU: null, ratio: null, note: expect.any(String) });
  });
});
