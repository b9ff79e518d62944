import { jobConverter, logView, type Job, type LogView, type Pass, type RunEvent } from "#calibration";
import type { Approach } from "#contract";
import { settlingTarget, sourceChannelOf } from "#engine";
import { approachOf, pictureRows, type ApproachRow } from "./approach-memory.ts";

/** Value of a channel at a moment: its last reading up to then, or null where it is older than `oldest` seconds. */
const valueAt = (view: LogView, channel: string | null, time: number, oldest: number): number | null => {
  const readings = channel === null ? undefined : view.channels.get(channel);
  if (readings === undefined) return null;
  const index = readings.firstFrom(time + 1e-6) - 1;
  return index >= 0 && time - readings.times[index]! <= oldest ? readings.values[index]! : null;
};

const spanOf = (
  log: readonly RunEvent[],
  pass: Pass,
  point: number,
): { from: number; to: number; setPoint: number; n: number } | null => {
  const begun = log.findLastIndex(
    (event) => event.kind === "set-point-commanded" && event.pass === pass && event.point === point,
  );
  const event = log[begun];
  if (event?.kind !== "set-point-commanded") return null;
  const next = log.slice(begun + 1).find(({ kind }) => kind === "set-point-commanded" || kind === "run-ended");
  return { from: event.at, to: next?.at ?? log[log.length - 1]!.at, setPoint: event.temperature, n: event.n };
};

const rowAt = (view: LogView, job: Job, convert: ReturnType<typeof jobConverter>, time: number): ApproachRow => {
  const oldest = 2.5 * job.procedure.readings.interval;
  const signal = valueAt(view, job.kit.reference.channel, time, oldest);
  const reference = signal === null ? null : convert.reference(signal);
  const at = reference?.ok === true ? reference.value : null;
  return {
    at: time,
    reference: at,
    source: valueAt(view, sourceChannelOf(job), time, oldest),
    items: job.items.map((item) => {
      const raw = valueAt(view, item.channel, time, oldest);
      const junction =
        item.coldJunction?.kind === "channel"
          ? (valueAt(view, item.coldJunction.channel, time, oldest) ?? undefined)
          : undefined;
      const converted = raw === null ? null : convert.item(item.id, raw, junction);
      const temperature = converted?.ok === true ? converted.value : null;
      return {
        temperature,
        difference: temperature === null || at === null ? null : temperature - at,
        estimate: null,
        bound: null,
      };
    }),
  };
};

/**
 * How a point was approached, from the log alone: for runs that are over, or that were begun before this station was.
 * What was judged on the way is not in the log but for its end, which stands on the last row before the readings began.
 * Null where the point was never set.
 */
export const approachFromLog = (log: readonly RunEvent[], pass: Pass, point: number): Approach | null => {
  const span = spanOf(log, pass, point);
  if (span === null) return null;
  const view = logView(log);
  // Kit and coefficients as they were on the way to this point.
  const job = view.jobAt(span.n);
  const convert = jobConverter(job);
  const times = view.channels.get(job.kit.reference.channel)?.times.subarray() ?? new Float64Array();
  const within = [...times].filter((time) => time >= span.from && time <= span.to);
  const step = Math.max(1, Math.ceil(within.length / pictureRows));
  const rows = within
    .filter((_, index) => (within.length - 1 - index) % step === 0)
    .map((time) => rowAt(view, job, convert, time));
  const settled = view.history(pass, point).settled;
  const judged = rows.map((row) => ({
    ...row,
    items: row.items.map((cell, index) => {
      const evidence = settled.get(job.items[index]!.id)?.evidence;
      const last = evidence === undefined ? undefined : rows.findLast(({ at }) => at <= evidence.to);
      return evidence !== undefined && last === row
        ? { ...cell, estimate: evidence.estimate, bound: evidence.remainder }
        : cell;
    }),
  }));
  const items = job.items.map((item) => ({ item: item.id, target: settlingTarget(job, item, span.setPoint) }));
  return approachOf({ pass, point, setPoint: span.setPoint }, items, judged);
};
