import { failure, type FaultValue, type Outcome } from "#fault";
import { isTyped, readingsByHand, type EventDraft } from "#calibration";
import { foresee } from "../foresee.ts";
import { nothing, type Decision, type RunCommand, type RunCommandName } from "../inputs.ts";
import { blockEvents } from "../pending.ts";
import { currentStop, type EngineState } from "../state.ts";
import { decideByHand, finishByHand } from "./decide-by-hand.ts";
import { typedTemperature } from "./follow-hand.ts";
import { awaitsSetPoint, readsByHand } from "./hand-state.ts";
import type { HandState } from "./hand.ts";
import { fewestReadings, hurriedWindow, roundsDone, rulesHold } from "./judge-by-hand.ts";
import { questionOf } from "./question-reading.ts";
import { readTyped } from "./read-typed.ts";

type Command<K extends RunCommandName> = Extract<RunCommand, { command: K }>;

/** A reading can be typed this long after it was seen, s. */
export const longestAgo = 300;

const refuse = (fault: FaultValue): Decision => ({ ...nothing, refusal: fault });
const invalid = (message: string): Decision => refuse({ code: "input.invalid", message });

/** Channels that a person may type now: those of the job, the source's display among them. */
const enterable = ({ job }: EngineState): readonly string[] =>
  Object.keys(job.bench.channels).filter((channel) => isTyped(job.bench, channel));

const isAtPoint = (state: EngineState): boolean =>
  state.hand !== null && state.paused === null && state.ended === null && currentStop(state) !== undefined;

/** What can be asked of what is done by hand. */
export const handCommands = (state: EngineState): readonly RunCommandName[] => {
  const { hand } = state;
  if (hand === null || !state.begun || state.ended !== null) return [];
  const commands: RunCommandName[] = [];
  if (isAtPoint(state)) {
    if (awaitsSetPoint(state)) return ["confirm-set-point"];
    if (enterable(state).length > 0) commands.push("enter-reading");
    if (hand.question !== null) commands.push("confirm-reading");
    const rounds = readsByHand(state.job) ? roundsDone(state, hand) : 0;
    if (rounds >= fewestReadings && hand.question === null) commands.push("enough-readings");
  }
  if (hand.readings.some(({ withdrawn }) => withdrawn === null)) commands.push("withdraw-reading");
  return commands;
};

/** Events first, then what the round that they end leads to. */
const thenByHand = (state: EngineState, at: number, events: readonly EventDraft[]): Decision => {
  const all = [...blockEvents(state, state.volatile, at), ...events];
  const next = decideByHand(foresee(state, all), at);
  return { events: [...all, ...next.events], effects: next.effects };
};

const taken = (
  state: EngineState,
  at: number,
  { channel, time, value, typed, by }: { channel: string; time: number; value: number; typed: string; by: string },
  confirmed: boolean,
): EventDraft => ({
  kind: "readings-taken",
  at,
  channel,
  unit: state.job.bench.channels[channel]!.unit,
  times: [time],
  values: [value],
  wire: [typed],
  by,
  ...(confirmed ? { confirmed: true as const } : {}),
});

/** When a reading was seen: now, or a while ago as the person says, within the present approach and after the one before. */
const seenAt = (hand: HandState, at: number, { channel, ago = 0 }: Command<"enter-reading">): Outcome<number> => {
  if (!(ago >= 0 && ago <= longestAgo))
    return failure(
      "input.invalid",
      `A reading is typed within ${longestAgo / 60} minutes of being seen; read it again.`,
    );
  const time = at - ago;
  if (time < hand.since)
    return failure(
      "input.invalid",
      "It was seen before the source was sent to this point, so it says nothing of it. Read it again.",
    );
  const same = hand.readings.find((each) => each.channel === channel && Math.abs(each.time - time) < 1);
  if (same !== undefined)
    return failure("input.invalid", `${same.typed} was typed for the same moment. Withdraw that one, or read again.`);
  return { ok: true, value: time };
};

export const enterReading = (state: EngineState, at: number, command: Command<"enter-reading">): Decision => {
  const { channel, typed, by } = command;
  const { hand, job } = state;
  const known = enterable(state);
  if (hand === null || !known.includes(channel))
    return invalid(`"${channel}" is not typed in this job; typed are ${known.join(", ")}.`);
  const { unit } = job.bench.channels[channel]!;
  const read = readTyped(typed, unit);
  if (!read.ok) return refuse(read.fault);
  const seen = seenAt(hand, at, command);
  if (!seen.ok) return refuse(seen.fault);
  const reading = { channel, time: seen.value, value: read.value, typed: typed.trim(), by };
  // Typed twice alike: that is an answer to the question, too.
  const again = hand.question?.channel === channel && hand.question.value === read.value;
  const ofTheState = foresee(state, blockEvents(state, state.volatile, at));
  const question = questionOf(ofTheState, hand, {
    ...reading,
    temperatureOf: (value) => typedTemperature(ofTheState, channel, value),
  });
  if (question === null || again) return thenByHand(state, at, [taken(state, at, reading, question !== null)]);
  const { time, value } = reading;
  return {
    events: [
      ...blockEvents(state, state.volatile, at),
      { kind: "reading-questioned", at, channel, time, value, typed: reading.typed, question, by },
    ],
    effects: [],
  };
};

/** Yes, as read. */
export const confirmReading = (state: EngineState, at: number, by: string): Decision => {
  const question = state.hand?.question ?? null;
  if (question === null) return invalid("No reading is questioned.");
  return thenByHand(state, at, [taken(state, at, { ...question, by }, true)]);
};

/** A slip that was taken: the reading stays in the log, and from here on counts for nothing. */
export const withdrawReading = (
  state: EngineState,
  at: number,
  { channel, time, reason, by }: Command<"withdraw-reading">,
): Decision => {
  const reading = state.hand?.readings.findLast(
    (each) =>
      each.withdrawn === null && each.channel === channel && (time === undefined || Math.abs(each.time - time) < 0.01),
  );
  if (reading === undefined) return invalid("There is no such typed reading to withdraw.");
  const measured = state.stops.find(({ pass, point }) => pass === reading.pass && point === reading.point);
  if (measured?.status === "measured") {
    const left = countedAt(state, reading) - 1;
    if (left < fewestReadings)
      return invalid(
        `Without it this point has ${left} readings, and ${fewestReadings} are needed. Repeat the point, and say why.`,
      );
  }
  return thenByHand(state, at, [{ kind: "reading-rejected", at, channel, time: reading.time, reason, by }]);
};

/** Readings of the same channel that count at the same visit of the point. */
const countedAt = ({ hand }: EngineState, { channel, pass, point }: HandState["readings"][number]): number =>
  (hand?.readings ?? []).filter(
    (each) => each.withdrawn === null && each.channel === channel && each.pass === pass && each.point === point,
  ).length;

/** The person has set the source, and switched it on. */
export const confirmSetPoint = (
  state: EngineState,
  at: number,
  { by, typed }: Command<"confirm-set-point">,
): Decision => {
  const temperature = state.setPoint?.temperature;
  if (temperature === undefined) return invalid("No set point is asked for.");
  if (typed !== undefined) {
    const read = readTyped(typed, "°C");
    if (!read.ok) return refuse(read.fault);
    if (read.value !== temperature)
      return invalid(
        `The run asks for ${temperature} °C, and ${typed.trim()} °C was set. Set ${temperature} °C, then confirm.`,
      );
  }
  return thenByHand(state, at, [{ kind: "set-point-confirmed", at, temperature, by }]);
};

/** The point is measured with the readings there are: fewer of them, so a larger uncertainty. */
export const enoughReadings = (state: EngineState, at: number, by: string): Decision => {
  const blocks = blockEvents(state, state.volatile, at);
  const now = foresee(state, blocks);
  const [hand, stop] = [now.hand, currentStop(now)];
  if (hand === null || stop === undefined) return invalid("No point is being read.");
  const looks = hurriedWindow(now, hand, at);
  if (looks === null) return invalid(`At least ${fewestReadings} readings of each are needed.`);
  if (!rulesHold(now, looks))
    return invalid("The rules of the written procedure are not met yet. Read on, or skip the point with a reason.");
  const { count } = readingsByHand(state.job);
  const note: EventDraft = {
    kind: "note-added",
    at,
    text: `Enough with ${roundsDone(now, hand)} readings by hand of the ${count} planned; fewer readings cost uncertainty.`,
    by,
  };
  const done = finishByHand(foresee(now, [note]), stop, looks, at);
  return { events: [...blocks, note, ...done.events], effects: done.effects };
};
