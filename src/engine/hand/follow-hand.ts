import { createSettling, defaultSettling, observe } from "#settling";
import { isTyped, type Job, type RunEvent, type RunEventOf } from "#calibration";
import { nearEnough } from "../near-enough.ts";
import { referenceAt } from "../reference-at.ts";
import { settlingTarget } from "../settling-target.ts";
import { currentStop, type EngineState } from "../state.ts";
import { handItems, readsByHand, setsByHand, steadyChannel, typedChannels } from "./hand-state.ts";
import type { HandPair, HandState } from "./hand.ts";

type Readings = RunEventOf<"readings-taken">;

export const noHand = (job: Job): HandState | null =>
  readsByHand(job) || setsByHand(job)
    ? {
        readings: [],
        since: 0,
        confirmedAt: null,
        asked: null,
        begunAt: null,
        question: null,
        steady: null,
        reachedSince: null,
      }
    : null;

/** Of a wired probe alone: its distance from the set point is judged as a difference is. */
const freshSteady = (job: Job, temperature: number): HandState["steady"] =>
  steadyChannel(job) === null
    ? null
    : createSettling({
        ...defaultSettling,
        minimumWindow: job.procedure.settling.minimumWindow,
        longestWindow: Math.max(defaultSettling.longestWindow, job.procedure.settling.minimumWindow),
        target: Math.min(...handItems(job).map((item) => settlingTarget(job, item, temperature))),
        setPoint: temperature,
      });

const approachBegun = (state: EngineState, hand: HandState, temperature: number, at: number): HandState => ({
  ...hand,
  since: at,
  confirmedAt: setsByHand(state.job) ? null : at,
  asked: null,
  begunAt: null,
  question: null,
  steady: readsByHand(state.job) ? freshSteady(state.job, temperature) : null,
  reachedSince: null,
});

/** What a value on a channel means, °C; null where it means no temperature. */
export const typedTemperature = (state: EngineState, channel: string, value: number): number | null => {
  const { job, converter, latest } = state;
  if (channel === job.kit.reference.channel) {
    const converted = converter.reference(value);
    return converted.ok ? converted.value : null;
  }
  const item = job.items.find((each) => each.channel === channel);
  if (item === undefined) return job.bench.channels[channel]?.unit === "°C" ? value : null;
  const junction = item.coldJunction?.kind === "channel" ? latest[item.coldJunction.channel]?.signal : undefined;
  const converted = converter.item(item.id, value, junction);
  return converted.ok ? converted.value : null;
};

/** What a typed reading pairs with: an item with the reference, a reference with the items that have a wire. */
const pairsFor = (state: EngineState, channel: string, time: number, temperature: number | null) => {
  const pairs: Record<string, HandPair> = {};
  if (temperature === null) return pairs;
  const { job } = state;
  if (channel === job.kit.reference.channel) {
    for (const item of job.items) {
      const latest = state.latest[item.channel]?.temperature ?? null;
      if (!isTyped(job.bench, item.channel) && latest !== null)
        pairs[item.id] = { reference: temperature, item: latest };
    }
    return pairs;
  }
  const item = job.items.find((each) => each.channel === channel);
  const reference = referenceAt(state.reference, time);
  if (item !== undefined && reference !== null) pairs[item.id] = { reference, item: temperature };
  return pairs;
};

const reached = (state: EngineState, hand: HandState, time: number, reference: number | null): HandState => {
  const within = state.job.procedure.settling.rules?.reachedWithin;
  const wanted = state.setPoint?.temperature;
  if (within === undefined || reference === null || wanted === undefined) return hand;
  const near = Math.abs(reference - wanted) <= within;
  return { ...hand, reachedSince: near ? (hand.reachedSince ?? time) : null };
};

/** So many readings of a typed reference are kept to pair others with. */
const keep = 90;

/** A reading that a person typed; its temperature is known at once, and what it pairs with. */
export const typedRead = (state: EngineState, event: Readings): EngineState => {
  if (state.hand === null) return state;
  const { channel } = event;
  const [time, value] = [event.times[0]!, event.values[0]!];
  const temperature = typedTemperature(state, channel, value);
  const stop = currentStop(state);
  const isReference = channel === state.job.kit.reference.channel;
  const { times, temperatures } = state.reference;
  const reference =
    isReference && temperature !== null
      ? { times: [...times, time].slice(-keep), temperatures: [...temperatures, temperature].slice(-keep) }
      : state.reference;
  const reading = {
    channel,
    time,
    enteredAt: event.at,
    value,
    typed: event.wire?.[0] ?? String(value),
    temperature,
    by: event.by ?? "",
    confirmed: event.confirmed === true,
    pass: stop?.pass ?? null,
    point: stop?.point ?? null,
    pairs: pairsFor(state, channel, time, temperature),
    withdrawn: null,
  };
  const hand = isReference ? reached(state, state.hand, time, temperature) : state.hand;
  return {
    ...state,
    reference,
    latest: { ...state.latest, [channel]: { time, signal: value, temperature } },
    hand: {
      ...hand,
      readings: [...hand.readings, reading],
      question: hand.question?.channel === channel ? null : hand.question,
    },
  };
};

/** Wired readings of the probe whose rest is watched. */
const wiredRead = (state: EngineState, hand: HandState, event: Readings): HandState => {
  const { job, setPoint } = state;
  let next = hand;
  if (event.channel === job.kit.reference.channel)
    event.values.forEach((value, index) => {
      next = reached(state, next, event.times[index]!, typedTemperature(state, event.channel, value));
    });
  if (next.steady === null || setPoint === null || event.channel !== steadyChannel(job)) return next;
  let { steady } = next;
  event.values.forEach((value, index) => {
    const temperature = typedTemperature(state, event.channel, value);
    if (temperature !== null)
      steady = observe(steady, { time: event.times[index]!, reference: setPoint.temperature, item: temperature });
  });
  return { ...next, steady };
};

/** The reference that was read last is near enough to the set point for the point to be this point. */
export const isNear = ({ job, latest, setPoint, hand }: EngineState): boolean => {
  const reading = latest[job.kit.reference.channel];
  if (setPoint === null || hand === null || reading?.temperature == null || reading.time < hand.since) return false;
  return Math.abs(reading.temperature - setPoint.temperature) <= nearEnough(setPoint.temperature);
};

/** A typed reference that is asked for alone, while there is more to read, is only looked at. */
const beginsRounds = (job: Job, asked: readonly string[]): boolean =>
  typedChannels(job).length === 1 || asked.some((channel) => channel !== job.kit.reference.channel);

const withdrawn = (hand: HandState, event: RunEventOf<"reading-rejected">): HandState => ({
  ...hand,
  readings: hand.readings.map((each) =>
    each.channel === event.channel && Math.abs(each.time - event.time) < 1e-6 && each.withdrawn === null
      ? { ...each, withdrawn: { reason: event.reason, by: event.by ?? "" } }
      : each,
  ),
});

const change = (state: EngineState, hand: HandState, event: RunEvent): HandState => {
  switch (event.kind) {
    case "set-point-commanded":
    case "check-begun":
      return approachBegun(state, hand, event.temperature, event.at);
    case "set-point-confirmed": {
      const begun = approachBegun(state, hand, event.temperature, event.at);
      return { ...begun, confirmedAt: event.at };
    }
    case "readings-taken":
      return event.by === undefined ? wiredRead(state, hand, event) : hand;
    case "reading-asked":
      return {
        ...hand,
        asked: { at: event.at, channels: event.channels },
        begunAt: hand.begunAt ?? (beginsRounds(state.job, event.channels) && isNear(state) ? event.at : null),
      };
    case "reading-questioned": {
      const { channel, time, value, typed, question, by } = event;
      return { ...hand, question: { channel, time, value, typed, question, by } };
    }
    case "reading-rejected":
      return withdrawn(hand, event);
    case "point-measured":
    case "point-skipped":
      return { ...hand, asked: null, begunAt: null, question: null, since: event.at };
    case "run-paused":
      return { ...hand, asked: null };
    default:
      return hand;
  }
};

/** What is done by hand, after an event that is folded into the rest of the state already. */
export const followHand = (state: EngineState, event: RunEvent): EngineState => {
  if (state.hand === null) return state;
  const hand = change(state, state.hand, event);
  if (event.kind !== "set-point-confirmed") return hand === state.hand ? state : { ...state, hand };
  return { ...state, hand, output: true, setPoint: { temperature: event.temperature, at: event.at } };
};
