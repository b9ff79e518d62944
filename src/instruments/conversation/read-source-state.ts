import { success, type Outcome } from "#fault";
import { parseNumericReply } from "../wire/numeric-reply.ts";
import type { InstrumentConversation } from "./instrument-conversation.ts";
import type { SourceState } from "./instrument.ts";

/** Asks a heat source for its set point and whether its output is on, as far as its entry has questions for them. */
export const readSourceState = (conversation: InstrumentConversation): Promise<Outcome<SourceState>> => {
  const { setPoint, output, timeout } = conversation.entry;
  return conversation.exclusively<SourceState>(async ({ ask }) => {
    const temperature =
      setPoint === undefined
        ? success(null)
        : await ask<number | null>({
            text: setPoint.readBack.ask,
            timeout,
            wanted: "a number",
            understand: (line) => {
              const reply = parseNumericReply(line);
              return reply.kind === "number" ? reply.value : null;
            },
          });
    if (!temperature.ok) return temperature;
    if (output === undefined) return success({ setPoint: temperature.value, output: null });
    const { ask: text, on, off } = output.readBack;
    const state = await ask({
      text,
      timeout,
      wanted: `${on} or ${off}`,
      understand: (line) => [on, off].find((word) => word === line.trim()) ?? null,
    });
    return state.ok ? success({ setPoint: temperature.value, output: state.value === on }) : state;
  });
};
