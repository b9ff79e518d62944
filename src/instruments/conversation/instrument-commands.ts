import { failure, success, type FaultValue, type Outcome } from "#fault";
import type { QuestionEntry, ValueSetting } from "../drivers/question-entry.ts";
import { calledFirst } from "../drivers/addressee.ts";
import { notInEntry } from "../drivers/not-in-entry.ts";
import { settingArrived, settingCommand } from "../drivers/setting.ts";
import { parseNumericReply } from "../wire/numeric-reply.ts";
import type { InstrumentConversation, Talk } from "./instrument-conversation.ts";

/** Sends a value, looks into the error queue, and reads back what has arrived. */
const set = async (
  { ask, tell }: Talk,
  conversation: InstrumentConversation,
  setting: ValueSetting,
  value: number,
  what: string,
  unit: string,
): Promise<Outcome<null>> => {
  const command = settingCommand(setting, value, what, unit);
  if (!command.ok) return command;
  const told = await tell(command.value);
  if (!told.ok) return told;
  const back = await ask({
    text: setting.readBack.ask,
    timeout: conversation.entry.timeout,
    wanted: "a number",
    understand: (line) => (parseNumericReply(line).kind === "malformed" ? null : line.trim()),
  });
  if (!back.ok) return back;
  if (settingArrived(setting, value, back.value) === "yes") return success(null);
  const { addressee } = conversation;
  return failure(
    "instrument.reported",
    `${calledFirst(addressee)} was sent ${what} of ${value} ${unit} ("${command.value}") but reads back ${back.value}. Check its own limits and whether it is in remote control.`,
    { instrument: addressee.id, sent: value, readBack: back.value },
  );
};

export const commandSetPoint = (conversation: InstrumentConversation, temperature: number): Promise<Outcome<null>> => {
  const setting = conversation.entry.setPoint;
  if (setting === undefined) return Promise.resolve(notInEntry(conversation.addressee, "a set point"));
  return conversation.exclusively((talk) => set(talk, conversation, setting, temperature, "a set point", "°C"));
};

const rampName =
  "a ramp rate of its own (in the procedure write ramp.by: steps, and the set point is moved in small steps)";

export const setRampRate = (conversation: InstrumentConversation, rate: number | null): Promise<Outcome<null>> => {
  const setting = conversation.entry.rampRate;
  if (setting === undefined) return Promise.resolve(notInEntry(conversation.addressee, rampName));
  return conversation.exclusively((talk) =>
    set(talk, conversation, setting, rate ?? setting.maximum, "a ramp rate", "K/min"),
  );
};

/** Switching off does not wait behind a question: it breaks the question off. */
export const switchOutput = (conversation: InstrumentConversation, on: boolean): Promise<Outcome<null>> => {
  const output: QuestionEntry["output"] = conversation.entry.output;
  if (output === undefined) return Promise.resolve(notInEntry(conversation.addressee, "switching its output"));
  const command = on ? output.on : output.off;
  const wanted = on ? output.readBack.on : output.readBack.off;
  return conversation.exclusively(async ({ ask, tell }) => {
    const told = await tell(command);
    if (!told.ok) return told;
    const back = await ask({
      text: output.readBack.ask,
      timeout: conversation.entry.timeout,
      wanted: `${output.readBack.on} or ${output.readBack.off}`,
      understand: (line) => [output.readBack.on, output.readBack.off].find((word) => word === line.trim()) ?? null,
    });
    if (!back.ok) return back;
    if (back.value === wanted) return success(null);
    const { addressee } = conversation;
    return failure(
      "instrument.reported",
      `${calledFirst(addressee)} was told "${command}" but its output is still ${on ? "off" : "on"}. ${
        on
          ? "Check its interlocks and limits."
          : "Switch it off by hand, and let it cool below 50 °C before touching it."
      }`,
      { instrument: addressee.id, on },
    );
  }, !on);
};

const presentValue = (
  talk: Talk,
  conversation: InstrumentConversation,
  setting: ValueSetting,
): Promise<Outcome<number>> =>
  talk.ask({
    text: setting.readBack.ask,
    timeout: conversation.entry.timeout,
    wanted: "a number",
    understand: (line) => {
      const reply = parseNumericReply(line);
      return reply.kind === "number" ? reply.value : null;
    },
  });

const zeroName = "a zero adjustment";
const spanName = "a span adjustment";

/** What the person must know when only the first of two settings was made. */
const halfAdjusted = (fault: FaultValue, restored: Outcome<null>): Outcome<null> =>
  failure(
    fault.code,
    `${fault.message} ${
      restored.ok
        ? "The zero adjustment made before it was taken back: the item is as it was."
        : "The zero adjustment made before it could not be taken back: the item is half adjusted; read it again before anything else."
    }`,
    { ...fault.data, restored: restored.ok },
  );

/**
 * Changes an item's indication through its maintenance channel. Both settings are absolute on the instrument, so the
 * present ones are read first and read back afterwards, and a command that is sent twice does no harm. Both are checked
 * against the entry's limits before either is sent; if the second fails the first is taken back; it is always locked again.
 */
export const adjustItem = (
  conversation: InstrumentConversation,
  zero: number,
  span: number,
): Promise<Outcome<null>> => {
  const adjust: QuestionEntry["adjust"] = conversation.entry.adjust;
  if (adjust === undefined) return Promise.resolve(notInEntry(conversation.addressee, "adjusting"));
  return conversation.exclusively(async (talk) => {
    const zeroNow = await presentValue(talk, conversation, adjust.zero);
    if (!zeroNow.ok) return zeroNow;
    const spanNow = await presentValue(talk, conversation, adjust.span);
    if (!spanNow.ok) return spanNow;
    for (const allowed of [
      settingCommand(adjust.zero, zeroNow.value + zero, zeroName, "K"),
      settingCommand(adjust.span, spanNow.value + span, spanName, "K"),
    ]) {
      if (!allowed.ok) return allowed;
    }
    const setZero = (value: number) => set(talk, conversation, adjust.zero, value, zeroName, "K");
    const both = async (): Promise<Outcome<null>> => {
      const first = await setZero(zeroNow.value + zero);
      if (!first.ok) return first;
      const second = await set(talk, conversation, adjust.span, spanNow.value + span, spanName, "K");
      return second.ok ? second : halfAdjusted(second.fault, await setZero(zeroNow.value));
    };
    const unlocked = adjust.unlock === undefined ? success(null) : await talk.tell(adjust.unlock);
    const outcome = unlocked.ok ? await both() : unlocked;
    const locked = adjust.lock === undefined ? success(null) : await talk.tell(adjust.lock);
    return outcome.ok ? locked : outcome;
  });
};
