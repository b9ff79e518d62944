import { failure, success, type Outcome } from "#fault";
import { signalOf } from "#thermometry";
import { meanOfSeries } from "#uncertainty";
import type { Item } from "../job/item.ts";
import type { Pass } from "../job/procedure.ts";
import type { RunEventOf } from "../log/events.ts";
import type { LogView, PointHistory } from "../log/log-view.ts";
import { dayAfter } from "./calendar-day.ts";
import { pairReadings, type PairedReadings } from "./pair-readings.ts";
import type { PointData } from "./point-data.ts";

export interface PointPlace {
  readonly item: Item;
  readonly pass: Pass;
  /** Index into the procedure's points. */
  readonly point: number;
}

/** The readings of the window, paired; or why they cannot be. */
const paired = (view: LogView, item: Item, window: RunEventOf<"point-measured">): Outcome<PairedReadings> => {
  const { reference } = view.opened.job.kit;
  const channelOf = (name: string, unit: string) => {
    const channel = view.channels.get(name);
    if (channel === undefined)
      return failure("input.invalid", `The log holds no readings of the channel ${name}.`, { channel: name });
    if (channel.unit !== unit)
      return failure("input.invalid", `The channel ${name} was read in ${channel.unit}, but ${unit} is needed.`, {
        channel: name,
      });
    return success(channel);
  };
  if (item.sensor.kind === "thermocouple" && item.coldJunction === undefined) {
    return failure(
      "input.invalid",
      `The reference junction of ${item.tag} is not known: the job must say coldJunction.`,
      { item: item.id },
    );
  }
  const [own, standard] = [channelOf(item.channel, item.unit), channelOf(reference.channel, reference.unit)];
  if (!own.ok) return own;
  if (!standard.ok) return standard;
  const junction = item.coldJunction?.kind === "channel" ? channelOf(item.coldJunction.channel, "°C") : undefined;
  if (junction !== undefined && !junction.ok) return junction;
  return pairReadings({
    item,
    reference,
    itemReadings: own.value,
    referenceReadings: standard.value,
    junctionReadings: junction?.value,
    window,
  });
};

const meanOf = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * Everything that the budget of one error is made of: the pairs of the window that counts, their means, the slopes there
 * and the evidence of readiness. A signal that gives no temperature, a channel that is missing: a failure with its reason.
 */
export const gatherPoint = (
  view: LogView,
  { item, point }: PointPlace,
  { measured, settled }: PointHistory,
): Outcome<PointData> => {
  if (measured === undefined) return failure("run.not-allowed", `Point ${point + 1} was not measured.`, { point });
  const outcome = paired(view, item, measured);
  if (!outcome.ok) return outcome;
  const pairs = outcome.value;
  const { run, job, opened } = view.opened;
  const series = meanOfSeries(pairs.differences);
  if (!series.ok) return series;
  const reference = meanOf(pairs.referenceTemperatures);
  const indication = meanOf(pairs.itemTemperatures);
  const coldJunction = pairs.junction === undefined ? {} : { coldJunction: pairs.junction };
  const itemAt = signalOf(item.sensor, indication, coldJunction);
  if (!itemAt.ok) return itemAt;
  const referenceAt = signalOf(job.kit.reference.sensor, reference);
  if (!referenceAt.ok) return referenceAt;
  const junctionAt =
    item.sensor.kind === "thermocouple" && pairs.junction !== undefined
      ? signalOf(item.sensor, pairs.junction)
      : undefined;
  if (junctionAt !== undefined && !junctionAt.ok) return junctionAt;
  return success({
    run,
    job,
    item,
    nominal: job.procedure.points[point]!.temperature,
    measured,
    settled: settled.get(item.id),
    pairs,
    series: series.value,
    reference,
    indication,
    signal: meanOf(pairs.itemSignals),
    referenceSignal: meanOf(pairs.referenceSignals),
    slope: itemAt.value.slope,
    referenceSlope: referenceAt.value.slope,
    junctionSlope: junctionAt?.value.slope,
    day: dayAfter(opened, measured.to),
  });
};
