import type { Job } from "../job/job.ts";
import type { MeasuredPoint, PassResult, PointResult, UnmeasuredPoint } from "../result/result.ts";
import type { MeasuredChange, UnmeasuredChange } from "../result/switch-result.ts";

type Direction = MeasuredChange["direction"];

/** The first ramp in a direction, as an index into the procedure's points. */
const firstRamp = (job: Job, direction: Direction): number =>
  job.procedure.points.findIndex(
    ({ temperature, sweep }) => sweep !== undefined && temperature > sweep.from === (direction === "rising"),
  );

/** What a foreseen change of a switch is as a point: the changed temperature with its budget and limits. */
const asPoint = (job: Job, change: MeasuredChange, nominal: number): MeasuredPoint => {
  const { temperature, budget, conformity, conformityNote, reported, cycles } = change;
  return {
    status: "measured",
    point: firstRamp(job, change.direction),
    nominal,
    reference: temperature,
    indication: temperature,
    signal: temperature,
    referenceSignal: temperature,
    // A change with an agreed temperature has its deviation from it.
    error: change.deviation!,
    budget,
    conformity,
    conformityNote,
    reported: {
      reference: reported.temperature,
      indication: reported.temperature,
      error: reported.deviation!,
      U: reported.U,
      k: reported.k,
    },
    readings: cycles,
    effectiveReadings: cycles,
    window: { from: 0, to: 0 },
  };
};

/** Why a change has no figures. A ramp on which the reference has no signal is not in the foreseen log at all. */
const withoutFigures = (job: Job, change: UnmeasuredChange, nominal: number): UnmeasuredPoint => {
  const { direction, code, origin } = change;
  const place = { point: firstRamp(job, direction), nominal, origin };
  if (code !== undefined) return { status: "flagged", code, reason: change.reason, ...place };
  const reason = `The reference gives no signal on the whole of the ramp ${direction} past ${nominal} °C. Use one that does.`;
  return { status: "not-measured", reason, ...place };
};

/** The changes of a foreseen pass that are judged by their temperature, as points. */
export const switchPoints = (job: Job, { switch: foreseen }: PassResult): PointResult[] =>
  [foreseen!.rising, foreseen!.falling].flatMap((change) => {
    const { nominal } = change;
    if (nominal === null) return [];
    return [change.status === "measured" ? asPoint(job, change, nominal) : withoutFigures(job, change, nominal)];
  });
