import { success, type Outcome } from "#fault";
import type { ChannelUnit } from "#quantity";
import { readingQuestion, understandReading } from "../drivers/reading.ts";
import type { ReadOnce } from "./instrument.ts";
import type { InstrumentConversation } from "./instrument-conversation.ts";
import { whyNoValue } from "./why-no-value.ts";

type Understood = Exclude<ReturnType<typeof understandReading>, { kind: "malformed" }>;

/** A function that reads one input again and again; what never changes is worked out once. */
export const inputReader = (
  conversation: InstrumentConversation,
  channel: string,
  input: number,
  unit: ChannelUnit,
): Outcome<ReadOnce> => {
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
      : whyNoValue(conversation.addressee, channel, input, unit, meaning);
  });
};
