import { failure, success, type Outcome } from "#fault";
import type { SignalUnit } from "#quantity";
import { readingQuestion, understandReading, type UnderstoodReading } from "../drivers/reading.ts";
import { showText } from "../wire/latin-text.ts";
import type { InstrumentConversation } from "./instrument-conversation.ts";

type Understood = Exclude<ReturnType<typeof understandReading>, { kind: "malformed" }>;

const whyNoValue = (
  conversation: InstrumentConversation,
  channel: string,
  input: number,
  unit: SignalUnit,
  meaning: Exclude<Understood, { kind: "reading" }>,
): Outcome<UnderstoodReading> => {
  const where = `Channel "${channel}" (instrument "${conversation.addressee.id}", input ${input})`;
  const data = { channel, instrument: conversation.addressee.id, wire: meaning.wire };
  if (meaning.kind === "no-value") {
    return failure(
      "instrument.reported",
      `${where} has no value to give: the instrument answers ${showText(meaning.wire)}, SCPI's "not a number". Check that the input is set up for ${unit} and that a measurement is running.`,
      data,
    );
  }
  return meaning.sign > 0
    ? failure(
        "signal.open-circuit",
        `${where} is beyond what the instrument can measure in ${unit}: it answers ${showText(meaning.wire)}, SCPI's infinity. The sensor's circuit is probably open: check its connections, then repeat the point.`,
        data,
      )
    : failure(
        "signal.out-of-range",
        `${where} is below what the instrument can measure in ${unit}: it answers ${showText(meaning.wire)}, SCPI's negative infinity. Check the polarity of the connections and the sensor, then repeat the point.`,
        data,
      );
};

/** A function that reads one input again and again; what never changes is worked out once. */
export const inputReader = (
  conversation: InstrumentConversation,
  channel: string,
  input: number,
  unit: SignalUnit,
): Outcome<() => Promise<Outcome<UnderstoodReading>>> => {
  const made = readingQuestion(conversation.entry, unit, input);
  if (!made.ok) return made;
  const question = {
    text: made.value.text,
    timeout: made.value.timeout,
    wanted: `a number in ${unit}`,
    understand: (line: string): Understood | null => {
      const meaning = understandReading(made.value, line);
      return meaning.kind === "malformed" ? null : meaning;
    },
  };
  return success(async () => {
    const answer = await conversation.exclusively(({ ask }) => ask(question));
    if (!answer.ok) return answer;
    const meaning = answer.value;
    return meaning.kind === "reading"
      ? success(meaning.reading)
      : whyNoValue(conversation, channel, input, unit, meaning);
  });
};
