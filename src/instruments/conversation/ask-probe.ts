import { failure, type Outcome } from "#fault";
import { calledFirst } from "../drivers/addressee.ts";
import { understandProbe, type PluggedProbe } from "../drivers/probe-answer.ts";
import type { ProbeQuestion } from "../drivers/question-entry.ts";
import type { InstrumentConversation } from "./instrument-conversation.ts";

/** Asks which probe is plugged in at an input; changes nothing. */
export const askProbe = async (
  conversation: InstrumentConversation,
  question: ProbeQuestion,
  input: number,
): Promise<Outcome<PluggedProbe>> => {
  const { first, last } = question.inputs;
  if (input < first || input > last)
    return failure(
      "instrument.entry-invalid",
      `${calledFirst(conversation.addressee)} says which probe is plugged in for inputs ${first} to ${last} only, not for ${input}.`,
      { input },
    );
  return conversation.exclusively(({ ask }) =>
    ask({
      text: question.ask.replaceAll("{input}", String(input)),
      timeout: question.timeout ?? conversation.entry.timeout,
      wanted: question.says === "serial" ? "a serial number" : "the bytes of a probe's data sheet",
      understand: (line) => understandProbe(question, line),
    }),
  );
};
