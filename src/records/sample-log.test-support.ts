import { jobSchema, type EventDraft, type Job, type JobInput, type RunOpened } from "#calibration";

const input: JobInput = {
  job: "CV-2611-001",
  title: "Pt100 of pasteuriser 2 (demo)",
  laboratory: { name: "Calder Vale Calibration (demo)", address: ["Unit 4, Invented Mill Lane"] },
  customer: { name: "Marrow & Finch (demo)", address: ["Quince House"] },
  place: "Cold store",
  technician: "Orla Penhallow (demo)",
  conditions: { ambientTemperature: { value: 22, halfWidth: 2 } },
  items: [
    {
      id: "tt-101",
      tag: "TT-101",
      description: "Pt100, four wires",
      serial: "0042817",
      sensor: { kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
      channel: "item-1",
      unit: "Ω",
      tolerance: { class: "iec-60751/A" },
      limits: { minimum: -40, maximum: 200 },
    },
  ],
  kit: {
    reference: {
      id: "ref-1",
      description: "reference probe",
      serial: "1108",
      sensor: {
        kind: "platinum",
        equation: "callendar-van-dusen",
        r0: 100.01,
        a: 3.9083e-3,
        b: -5.775e-7,
        c: -4.183e-12,
      },
      channel: "reference",
      unit: "Ω",
      range: { minimum: -80, maximum: 420 },
      calibration: {
        certificate: "IRL-1",
        laboratory: "Invented Reference Laboratory (demo)",
        date: "2026-03-09",
        due: "2027-03-09",
        uncertainty: 0.02,
      },
      driftPerYear: 0.015,
    },
    readout: {
      id: "readout-1",
      description: "readout",
      serial: "30552",
      calibration: {
        certificate: "CVC-1",
        laboratory: "Calder Vale Calibration (demo)",
        date: "2026-05-18",
        due: "2027-05-18",
      },
      accuracy: [{ unit: "Ω", absolute: 0.002, resolution: 0.0001 }],
    },
    source: {
      id: "bath-1",
      description: "stirred bath",
      serial: "2207",
      class: "bath",
      range: { minimum: -30, maximum: 180 },
      stability: 0.01,
      axial: 0.015,
      radial: 0.01,
    },
  },
  procedure: {
    method: { identifier: "CVC-T-02", revision: "3", title: "Comparison in a bath" },
    points: [{ temperature: 0 }, { temperature: 100 }],
    readings: { count: 10, interval: 2 },
    settling: { target: { kelvin: 0.02 } },
    decision: { kind: "simple" },
  },
  bench: {
    instruments: [{ id: "readout", entry: "scpi-thermometer-readout", at: "simulated", role: "readout" }],
    channels: {
      reference: { instrument: "readout", unit: "Ω" },
      "item-1": { instrument: "readout", input: 2, unit: "Ω" },
    },
  },
  rehearsal: true,
};

/** An invented job; fields may be exchanged. */
export const sampleJob = (fields: Partial<JobInput> = {}): Job => jobSchema.parse({ ...input, ...fields });

/** The event that opens an invented run. */
export const sampleOpening = (run = "run-1", fields: Partial<JobInput> = {}): RunOpened => ({
  kind: "run-opened",
  format: "dwellpoint-run/1",
  n: 0,
  at: 0,
  run,
  opened: "2026-11-20T09:30:00Z",
  software: { name: "dwellpoint", version: "0.1.0" },
  seed: 7,
  job: sampleJob(fields),
  catalog: [],
});

/** A block of `count` readings of the reference from `at` on, one a second, with the digits of a wire. */
export const sampleReadings = (at: number, count = 1): Extract<EventDraft, { kind: "readings-taken" }> => {
  const values = Array.from({ length: count }, (_, index) => 138.5 + ((at + index) % 97) / 1000);
  return {
    kind: "readings-taken",
    at: at + count - 1,
    channel: "reference",
    unit: "Ω",
    times: values.map((_, index) => at + index),
    values,
    wire: values.map((value) => value.toFixed(4)),
  };
};

/** A whole short run behind its opening: one pass, the first point measured twice, the second skipped, ended. */
export const sampleEvents = (): EventDraft[] => [
  { kind: "pass-begun", at: 1, pass: "as-found" },
  { kind: "output-switched", at: 1, on: true },
  { kind: "set-point-commanded", at: 2, pass: "as-found", point: 0, temperature: 0 },
  sampleReadings(3, 10),
  { kind: "point-measured", at: 12, pass: "as-found", point: 0, from: 3, to: 12 },
  {
    kind: "point-repeated",
    at: 13,
    pass: "as-found",
    point: 0,
    reason: "the lid was open",
    by: "Orla Penhallow (demo)",
  },
  { kind: "run-paused", at: 14, reason: "lunch", by: "Orla Penhallow (demo)" },
  { kind: "run-resumed", at: 15, by: "Orla Penhallow (demo)" },
  sampleReadings(16, 10),
  { kind: "point-measured", at: 26, pass: "as-found", point: 0, from: 16, to: 25 },
  {
    kind: "point-skipped",
    at: 27,
    pass: "as-found",
    point: 1,
    reason: "the works needs the bath",
    by: "Orla Penhallow (demo)",
  },
  { kind: "note-added", at: 28, text: "Ünïcode: 20 °C ± ½ K, “quoted”\nsecond line", by: "Orla Penhallow (demo)" },
  { kind: "run-ended", at: 29, outcome: "completed", by: "dwellpoint" },
];
