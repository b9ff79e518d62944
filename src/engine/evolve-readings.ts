import { observe, observeSource } from "#settling";
import { extendTrack } from "#diagnosis";
import { isTyped, type Item, type RunEventOf } from "#calibration";
import { checkRead } from "./evolve-check.ts";
import { typedRead } from "./hand/follow-hand.ts";
import { referenceAt } from "./reference-at.ts";
import { checkChannelOf, sourceChannelOf, type EngineState, type Measuring, type ReferenceStretch } from "./state.ts";

/** The source's own temperature, for the rules that look at it. */
const sourceWatched = (state: EngineState, event: RunEventOf<"readings-taken">): EngineState => {
  if (event.unit !== "°C" || event.channel !== sourceChannelOf(state.job)) return state;
  const settling = Object.fromEntries(
    Object.entries(state.settling).map(([item, each]) => [
      item,
      event.values.reduce((next, value, index) => observeSource(next, event.times[index]!, value), each),
    ]),
  );
  return { ...state, settling };
};

/** Of the reference and of each item so many readings of the present approach are kept, or those of so many seconds. */
const keep = { readings: 90, seconds: 150 } as const;

const longer = (
  { times, temperatures }: ReferenceStretch,
  more: readonly { readonly time: number; readonly temperature: number }[],
): ReferenceStretch => {
  const all = [...times, ...more.map(({ time }) => time)];
  const past = all.findIndex((time) => time >= all.at(-1)! - keep.seconds);
  const from = Math.max(0, Math.min(past, all.length - keep.readings));
  return {
    times: all.slice(from),
    temperatures: [...temperatures, ...more.map(({ temperature }) => temperature)].slice(from),
  };
};

const referenceRead = (state: EngineState, event: RunEventOf<"readings-taken">): EngineState => {
  const more: { time: number; temperature: number }[] = [];
  let last: number | null = null;
  let { check } = state;
  const alone = checkChannelOf(state.job) === null;
  event.values.forEach((value, index) => {
    const converted = state.converter.reference(value);
    last = converted.ok ? converted.value : null;
    if (!converted.ok) return;
    more.push({ time: event.times[index]!, temperature: converted.value });
    if (check !== null && alone) {
      const reading = { time: event.times[index]!, reference: converted.value, standard: check.temperature };
      check = checkRead(check, reading);
    }
  });
  const latest = { time: event.times.at(-1)!, signal: event.values.at(-1)!, temperature: last };
  return {
    ...state,
    check,
    reference: longer(state.reference, more),
    latest: { ...state.latest, [event.channel]: latest },
  };
};

/** A second thermometer beside the reference, read on a channel of its own. */
const checkThermometerRead = (state: EngineState, event: RunEventOf<"readings-taken">): EngineState => {
  let { check } = state;
  event.values.forEach((standard, index) => {
    const time = event.times[index]!;
    const reference = referenceAt(state.reference, time);
    if (check !== null && reference !== null) check = checkRead(check, { time, reference, standard });
  });
  const last = event.values.at(-1)!;
  const latest = { time: event.times.at(-1)!, signal: last, temperature: last };
  return { ...state, check, latest: { ...state.latest, [event.channel]: latest } };
};

const countReading = (measuring: Measuring, item: string, time: number, difference: number): Measuring =>
  time <= (measuring.starts[item] ?? Number.POSITIVE_INFINITY)
    ? measuring
    : {
        ...measuring,
        counts: { ...measuring.counts, [item]: (measuring.counts[item] ?? 0) + 1 },
        sums: { ...measuring.sums, [item]: (measuring.sums[item] ?? 0) + difference },
        firsts: { ...measuring.firsts, [item]: measuring.firsts[item] ?? time },
        lasts: { ...measuring.lasts, [item]: time },
      };

const itemRead = (state: EngineState, item: Item, event: RunEventOf<"readings-taken">): EngineState => {
  const junctionChannel = item.coldJunction?.kind === "channel" ? item.coldJunction.channel : null;
  const junction = junctionChannel === null ? undefined : state.latest[junctionChannel]?.signal;
  let settling = state.settling[item.id];
  let track = state.tracks[item.id];
  let measuring = state.measuring;
  let temperature: number | null = null;
  const more: { time: number; temperature: number }[] = [];
  // A reference that is typed now and then says nothing of the moments in between.
  const alone = isTyped(state.job.bench, state.job.kit.reference.channel);
  event.values.forEach((signal, index) => {
    const time = event.times[index]!;
    const converted = state.converter.item(item.id, signal, junction);
    temperature = converted.ok ? converted.value : null;
    const reference = alone ? null : referenceAt(state.reference, time);
    if (converted.ok) more.push({ time, temperature: converted.value });
    if (!converted.ok || reference === null) return;
    track = extendTrack(track, { time, reference, item: converted.value, signal });
    if (settling !== undefined) settling = observe(settling, { time, reference, item: converted.value });
    if (measuring !== null) measuring = countReading(measuring, item.id, time, converted.value - reference);
  });
  const stretch = longer(state.itemStretches[item.id] ?? { times: [], temperatures: [] }, more);
  return {
    ...state,
    measuring,
    itemStretches: { ...state.itemStretches, [item.id]: stretch },
    settling: settling === undefined ? state.settling : { ...state.settling, [item.id]: settling },
    tracks: track === undefined ? state.tracks : { ...state.tracks, [item.id]: track },
    latest: {
      ...state.latest,
      [event.channel]: { time: event.times.at(-1)!, signal: event.values.at(-1)!, temperature },
    },
  };
};

/** Readings of one channel, folded into what is known of the approach. */
export const readingsTaken = (state: EngineState, event: RunEventOf<"readings-taken">): EngineState => {
  if (event.by !== undefined) return typedRead(state, event);
  if (event.channel === state.job.kit.reference.channel) return referenceRead(state, event);
  const items = state.job.items.filter((item) => item.channel === event.channel);
  if (items.length > 0) return items.reduce((next, item) => itemRead(next, item, event), state);
  if (event.channel === checkChannelOf(state.job)) return checkThermometerRead(state, event);
  const signal = event.values.at(-1)!;
  const temperature = event.unit === "°C" ? signal : null;
  const latest = { ...state.latest, [event.channel]: { time: event.times.at(-1)!, signal, temperature } };
  return sourceWatched({ ...state, latest }, event);
};
