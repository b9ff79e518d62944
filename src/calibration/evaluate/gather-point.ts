import { failure, success, type Outcome } from "#fault";
import { signalOf } from "#thermometry";
import { meanOfSeries } from "#uncertainty";
import type { Item } from "../job/item.ts";
import type { Job } from "../job/job.ts";
import { isTyped, readByHand } from "../job/typed-channel.ts";
import type { Pass } from "../job/procedure.ts";
import type { RunEventOf } from "../log/events.ts";
import type { LogView, PointHistory } from "../log/log-view.ts";
import { dayAfter } from "./calendar-day.ts";
import { checkOfReference } from "./closing-check.ts";
import { seenHysteresis } from "./hysteresis.ts";
import { pairReadings, type PairedReadings } from "./pair-readings.ts";
import type { PointData } from "./point-data.ts";
import type { PointPlace } from "./point-place.ts";

/** The readings of the window, paired; or why they cannot be. */
const paired = (view: LogView, job: Job, item: Item, window: RunEventOf<"point-measured">): Outcome<PairedReadings> => {
  const { reference } = job.kit;
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
    moments: isTyped(job.bench, reference.channel) && !isTyped(job.bench, item.channel) ? "reference" : "item",
  });
};

const meanOf = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** A point by itself, without what other points and the closing check say of it. */
const gatherAlone = (
  view: LogView,
  { item: planned, pass, point }: PointPlace,
  { measured, settled }: PointHistory,
): Outcome<PointData> => {
  if (measured === undefined) return failure("run.not-allowed", `Point ${point + 1} was not measured.`, { point });
  // Kit and coefficients as they were when the window was measured.
  const job = view.jobAt(measured.n);
  const item = job.items.find(({ id }) => id === planned.id) ?? planned;
  const outcome = paired(view, job, item, measured);
  if (!outcome.ok) return outcome;
  const pairs = outcome.value;
  const { run, opened } = view.opened;
  const series = meanOfSeries(pairs.differences, { independent: readByHand(job, item) });
  if (!series.ok) return series;
  const reference = meanOf(pairs.referenceTemperatures);
  const indication = meanOf(pairs.itemTemperatures);
  // The slope at a temperature is the same wherever the reference junction stands.
  const itemAt = signalOf(item.sensor, indication);
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
    nominal: nominalOf(view, pass, point),
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
    hysteresis: undefined,
    check: undefined,
  });
};

/** Temperature that a point was to be measured at, °C; NaN for a point that the pass does not have. */
export const nominalOf = (view: LogView, pass: Pass, point: number): number =>
  view.points(pass).find((each) => each.point === point)?.temperature ?? Number.NaN;

/**
 * Everything that the budget of one error is made of: the pairs of the window that counts, their means, the slopes there
 * and the evidence of readiness; what the way there and back showed at this temperature, and what the closing check says of
 * the reference. A signal that gives no temperature, a channel that is missing: a failure with its reason.
 */
export const gatherPoint = (view: LogView, place: PointPlace, history: PointHistory): Outcome<PointData> => {
  const own = gatherAlone(view, place, history);
  if (!own.ok) return own;
  const hysteresis = seenHysteresis(view, place, own.value, (point) => {
    const other = gatherAlone(view, { ...place, point }, view.history(place.pass, point, place.item.id));
    return other.ok ? other.value : undefined;
  });
  return success({ ...own.value, hysteresis, check: checkOfReference(view, own.value.job.kit.reference) });
};
