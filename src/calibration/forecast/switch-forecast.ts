import type { Job } from "../job/job.ts";
import type { MeasuredPoint, PassResult } from "../result/result.ts";
import type { MeasuredChange } from "../result/switch-result.ts";

/** What a foreseen change of a switch is as a point: the changed temperature with its budget and limits. */
const asPoint = (job: Job, change: MeasuredChange): MeasuredPoint => {
  const point = job.procedure.points.findIndex(
    ({ temperature, sweep }) => sweep !== undefined && temperature > sweep.from === (change.direction === "rising"),
  );
  const { temperature, deviation, budget, conformity, conformityNote, reported, cycles } = change;
  return {
    status: "measured",
    point: Math.max(point, 0),
    nominal: change.nominal ?? temperature.value,
    reference: temperature,
    indication: temperature,
    signal: temperature,
    referenceSignal: temperature,
    error: deviation ?? { ...temperature, value: 0, unit: "K" },
    budget,
    conformity,
    conformityNote,
    reported: {
      reference: reported.temperature,
      indication: reported.temperature,
      error: reported.deviation ?? "0",
      U: reported.U,
      k: reported.k,
    },
    readings: cycles,
    effectiveReadings: cycles,
    window: { from: 0, to: 0 },
  };
};

/** The changes of a foreseen pass that are judged by their temperature, as points. */
export const switchPoints = (job: Job, pass: PassResult | undefined): MeasuredPoint[] => {
  const { rising, falling } = pass?.switch ?? {};
  return [rising, falling].flatMap((side) =>
    side?.status === "measured" && (side.role === "trip" || side.nominal !== null) ? [asPoint(job, side)] : [],
  );
};
