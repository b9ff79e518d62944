import { createPlant, simulationSchema, type Plant, type SimulationInput } from "#bench";
import { logFormat, wiredChannels, type EventDraft, type Job, type RunEvent } from "#calibration";

/** Seconds from a set point to its readings: dry block and probes are at rest by then. */
const rest = 1500;
const readings = { count: 20, interval: 2 } as const;

const measured = (plant: Plant, channels: readonly string[], from: number) => {
  const series = new Map<string, { times: number[]; values: number[] }>();
  for (let index = 0; index < readings.count; index += 1) {
    const time = from + index * readings.interval;
    plant.advanceTo(time);
    for (const channel of channels) {
      const reading = plant.read(channel);
      if (reading.kind === "beyond") continue;
      const known = series.get(channel) ?? { times: [], values: [] };
      known.times.push(time);
      known.values.push(reading.value);
      series.set(channel, known);
    }
  }
  return series;
};

const settledEvidence = (from: number) => ({
  from: from - 300,
  to: from,
  estimate: 0,
  remainder: 0.02,
  standardUncertainty: 0.003,
  slope: 0,
  slopeStandardError: 1e-5,
  autocorrelation: 0.1,
  target: 0.1,
});

/** The log of a visit: every point of the job measured after a rest on the simulated bench. */
export const studyRun = (job: Job, simulation: SimulationInput, seed: number): RunEvent[] => {
  const channels = wiredChannels(job.bench);
  const plant = createPlant({
    simulation: simulationSchema.parse({ ambient: 23, ...simulation }),
    channels: Object.fromEntries(
      Object.entries(channels).flatMap(([name, channel]) =>
        channel.unit === "contact" ? [] : [[name, { ...channel, unit: channel.unit }]],
      ),
    ),
    sources: ["block"],
    kit: job.kit as NonNullable<Parameters<typeof createPlant>[0]["kit"]>,
    items: job.items as NonNullable<Parameters<typeof createPlant>[0]["items"]>,
    seed,
    startAt: 0,
    day: "2026-07-12",
  });
  const log: RunEvent[] = [
    {
      kind: "run-opened",
      format: logFormat,
      n: 0,
      at: 0,
      run: "study",
      opened: "2026-07-12T08:00:00Z",
      software: { name: "dwellpoint", version: "0.0.0-study" },
      seed,
      job,
      catalog: [],
    },
  ];
  const add = (draft: EventDraft): void => void log.push({ ...draft, n: log.length } as RunEvent);
  add({ kind: "pass-begun", at: 0, pass: "as-found" });
  plant.switchOutput(true);
  let at = 0;
  job.procedure.points.forEach(({ temperature }, point) => {
    add({ kind: "set-point-commanded", at, pass: "as-found", point, temperature });
    plant.setPoint(temperature);
    const from = at + rest;
    const to = from + (readings.count - 1) * readings.interval;
    for (const item of job.items)
      add({ kind: "point-settled", at: from, pass: "as-found", point, item: item.id, evidence: settledEvidence(from) });
    for (const [channel, { times, values }] of measured(plant, Object.keys(channels), from))
      add({ kind: "readings-taken", at: to, channel, unit: unitOf(job, channel), times, values });
    add({ kind: "point-measured", at: to, pass: "as-found", point, from, to });
    at = to;
  });
  add({ kind: "run-ended", at, outcome: "completed", by: "study" });
  return log;
};

const unitOf = (job: Job, channel: string): "°C" | "Ω" | "mV" | "mA" => {
  const { unit } = job.bench.channels[channel]!;
  if (unit === "contact") throw new RangeError(`the study has no contacts (${channel})`);
  return unit;
};
